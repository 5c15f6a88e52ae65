"""The page as a browser, a screen reader and a hostile author would meet it."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace
from html.parser import HTMLParser

import lxml.html
import pytest

from printplan.judging import Reason
from printplan.sheet import sheet_html
from printplan.sheet.summary import stamp_text, verdict_sentence

VOID = {"meta", "img", "br", "hr", "input", "link", "rect", "path", "circle"}


class Nesting(HTMLParser):
    """Complains about a tag that is closed wrongly or never."""

    def __init__(self):
        super().__init__()
        self.open, self.faults = [], []

    def handle_starttag(self, tag, attrs):
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        pass

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append((tag, self.getpos()))


@pytest.fixture(scope="module")
def tree(page):
    return lxml.html.document_fromstring(page)


def text_of(tree) -> str:
    return re.sub(r"\s+", " ", tree.text_content())


def test_tags_nest(page):
    parser = Nesting()
    parser.feed(page)
    assert parser.faults == []
    assert parser.open == []
    assert page.startswith("<!DOCTYPE html>")


def test_nothing_is_loaded(page, tree):
    assert "http:" not in page
    assert "https:" not in page
    assert "@import" not in page
    assert "url(" not in page
    assert not tree.xpath("//script | //link | //iframe | //object | //embed | //base | //form")
    for attribute in ("src", "href", "srcset", "data", "action", "poster"):
        for value in tree.xpath(f"//@{attribute}"):
            assert value.startswith(("#", "data:image/png;base64,"))
    assert not [a for a in tree.xpath("//@*") if a.attrname.startswith("on")]
    policy = tree.xpath("//meta[@http-equiv='Content-Security-Policy']/@content")[0]
    assert "default-src 'none'" in policy


def test_anchors_lead_somewhere_and_ids_are_unique(tree):
    ids = tree.xpath("//@id")
    assert len(ids) == len(set(ids))
    for target in tree.xpath("//a/@href"):
        assert target[1:] in ids
    for reference in tree.xpath("//@aria-labelledby"):
        assert reference in ids


def test_headings_descend_one_by_one(tree):
    levels = [int(h.tag[1]) for h in tree.xpath("//h1|//h2|//h3|//h4|//h5|//h6")]
    assert levels.count(1) == 1
    assert levels[0] == 1
    for before, after in itertools.pairwise(levels):
        assert after <= before + 1


def test_pictures_and_drawings_have_words(tree, plan):
    images = tree.xpath("//img")
    assert len(images) == 2 * len(plan.parts)
    for image in images:
        assert len(image.get("alt")) > 40
    assert any("1: 0.800 mm, one bead only" in image.get("alt") for image in images)
    for drawing in tree.xpath("//svg"):
        assert drawing.get("aria-hidden") == "true" or (
            drawing.get("role") == "img" and drawing.get("aria-label")
        )


def test_tables_have_captions_and_scopes(tree):
    tables = tree.xpath("//table")
    assert len(tables) > 8
    for table in tables:
        assert table.xpath("./caption")
    for head in tree.xpath("//th"):
        assert head.get("scope") in ("col", "row", "colgroup")
    for scroll in tree.xpath("//div[@class='scroll']"):
        assert scroll.get("tabindex") == "0"
        assert scroll.get("aria-label")


def test_all_of_the_plan_is_there(tree, plan):
    text = text_of(tree)
    for caution in plan.cautions:
        assert caution in text
    for part in plan.parts:
        assert part.name in text
        for warning in part.warnings:
            assert warning.removeprefix("not checked: ") in text
        for c in part.candidates:
            for reason in c.verdict.reasons:
                assert reason.text in text
            for tried in c.tried:
                assert tried in text
            for check in c.verdict.checks if c is part.best else ():
                assert check.demand.name in text
                assert check.demand.source in text
    for case in plan.loads.cases:
        for piece in (case.name, case.story, case.assumption, case.source, *case.trail):
            assert piece in text
    for sentence in (*plan.warnings, *plan.loads.warnings, *plan.sources):
        assert sentence in text
    for item in plan.hardware:
        assert item.designation in text
    assert plan.title in text
    assert plan.place in text


def test_cautions_come_before_the_parts(page):
    first = page.index("Nobody certifies a home-printed part.")
    assert first < page.index('id="part-1"')
    assert page.rindex("Nobody certifies a home-printed part.") > page.index('id="origin"')


def test_sections_keep_their_order(tree):
    names = [s.get("id") for s in tree.xpath("//main/section") if s.get("id")]
    assert names == ["parts", "verdicts", "loads", "plates", "where", "buy", "origin", "care"]


def test_numbers_are_those_of_the_plan(tree):
    text = text_of(tree).replace("\u00a0", " ")
    for written in (
        "211 g", "69.0 m", "14 h 44 min", "11 h 47 min to 17 h 40 min", "1.64 kWh", "9.24 EUR",
        "7.80 to 10.64 EUR", "13 h 53 min", "1 × ASA", "82.4", "1234", "2200",
    ):  # fmt: skip
        assert written in text
    stall = tree.xpath("//table[@class='loads']/tbody/tr[1]")[0]
    assert stall.xpath(".//b/text()") == ["82.4", "1234"]


def test_one_sentence_says_it_all(tree):
    sentence = tree.xpath("//p[@class='verdict']")[0].text_content().replace("\u00a0", " ")
    assert sentence == (
        "1 of 2 parts has a fit filament; crate hook is too thin at 0.800 mm; "
        "refused: ASA for 1 part and PLA for 1 part."
    )


def test_verdict_table_marks_the_pick_in_words(tree):
    rows = tree.xpath("//table[@class='verdicts']/tbody/tr")
    assert [r.xpath("./td")[0].text_content() for r in rows] == [
        "✓suitable1.26pick",
        "✕unsuitable1.05",
    ]
    assert "not judged" in rows[1].text_content()


def test_bars_are_sorted_and_zeros_left_out(tree):
    table = tree.xpath("//table[@class='bars'][caption/span='Hours of the whole set']")[0]
    kinds = table.xpath("./tbody/tr/th//text()")
    assert kinds[:2] == ["walls", "infill"]
    # two parts of two pieces, 6000 s of walls each
    assert table.xpath("./tbody/tr[1]/td[1]/text()") == ["6\u00a0h\u00a040\u00a0min"]
    money = tree.xpath("//table[@class='bars'][caption/span='Money']")[0]
    assert "labour" not in money.text_content()
    # 1.20 EUR a piece, four pieces
    assert money.xpath("./tbody/tr[1]")[0].text_content() == "filament4.80\u00a0EUR52\u00a0%"


def test_plate_is_drawn_to_scale(tree):
    drawing = tree.xpath("//svg[@class='plate']")[0]
    first = drawing.xpath(".//rect[@class='item']")[0]
    # 4 mm from the left and from the front edge; y runs down from the back edge of 200 mm
    assert [float(first.get(k)) for k in ("x", "y", "width", "height")] == [4, 156, 40, 40]
    bed = drawing.xpath(".//rect[@class='bed']")[0]
    assert (bed.get("width"), bed.get("height")) == ("220", "200")


def test_faults_are_marked(plan):
    case = replace(plan.loads.cases[0], fault=True)
    html = sheet_html(replace(plan, loads=replace(plan.loads, cases=(case, plan.loads.cases[1]))))
    rows = lxml.html.document_fromstring(html).xpath("//table[@class='loads']/tbody/tr")
    assert ["a fault" in r.text_content() for r in rows] == [True, False]


def test_progress_is_reported(plan):
    seen = []
    sheet_html(plan, lambda share, text: seen.append((share, text)))
    assert [s for s, _ in seen] == sorted(s for s, _ in seen)
    assert seen[-1][0] == 1.0
    assert any("crate hook" in text for _, text in seen)


def test_same_plan_same_page(plan, page):
    assert sheet_html(plan) == page


def test_ten_parts_stay_small(plan):
    many = replace(plan, parts=plan.parts * 5)
    assert len(sheet_html(many).encode()) < 3_000_000


# --- hostile texts --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def hostile_tree(plan, make):
    hostile_text = make.hostile
    reason = Reason(topic="wall", effect="unsuitable", text=hostile_text)
    part = make.part_plan(
        hostile_text,
        make.box(40.0, 0.8, 30.0),
        make.candidate(
            hostile_text, make.verdict(hostile_text, "unsuitable", reason), printer=hostile_text
        ),
        mesh=hostile_text,
        role=hostile_text,
        colour=hostile_text,
        shelter=hostile_text,
        up=hostile_text,
        warnings=(hostile_text, "not checked: " + hostile_text),
    )
    plate = plan.plates[0]
    items = tuple(replace(i, part=hostile_text, width_mm=200.0, depth_mm=60.0) for i in plate.items)
    hostile = replace(
        plan,
        title=hostile_text,
        place=hostile_text,
        currency=hostile_text,
        parts=(part,),
        loads=replace(
            plan.loads,
            cases=(
                replace(
                    plan.loads.cases[0],
                    name=hostile_text,
                    story=hostile_text,
                    trail=(hostile_text,),
                ),
            ),
            warnings=(hostile_text,),
        ),
        plates=(replace(plate, items=items, printer=hostile_text, grade=hostile_text),),
        printers=(replace(plan.printers[0], printer=hostile_text),),
        spools=(replace(plan.spools[0], grade=hostile_text),),
        totals=replace(plan.totals, spools_to_buy={hostile_text: 1}),
        warnings=(hostile_text,),
        sources=(hostile_text,),
        cautions=(hostile_text,),
    )
    html = sheet_html(hostile)
    parser = Nesting()
    parser.feed(html)
    assert parser.faults == []
    assert parser.open == []
    assert "<script" not in html.lower()
    return lxml.html.document_fromstring(html)


def test_hostile_text_adds_no_element_and_no_handler(hostile_tree):
    assert not hostile_tree.xpath("//script")
    assert not [a for a in hostile_tree.xpath("//@*") if a.attrname.startswith("on")]
    assert not hostile_tree.xpath("//comment()")


def test_hostile_text_is_shown_as_text(hostile_tree):
    assert "<script>alert('x')</script>" in hostile_tree.xpath("//h1")[0].text_content()
    assert "&amp;" in hostile_tree.xpath("//h1")[0].text_content()


def test_turning_marks_stay_inside_their_own_element(hostile_tree):
    for element in hostile_tree.iter():
        for text, owner in ((element.text, element), (element.tail, element.getparent())):
            if text and "\u202e" in text:
                assert owner.tag == "bdi"
        for value in element.attrib.values():
            assert "\u202e" not in value


def test_control_characters_are_gone(hostile_tree):
    assert "\x07" not in lxml.html.tostring(hostile_tree, encoding="unicode")


# --- nothing there --------------------------------------------------------------------------------


def test_empty_lists_are_said_so(plan):
    bare = replace(
        plan,
        loads=None,
        plates=(),
        printers=(),
        spools=(),
        hardware=(),
        warnings=(),
        sources=(),
        totals=replace(plan.totals, spools_to_buy={}),
    )
    text = text_of(lxml.html.document_fromstring(sheet_html(bare)))
    for sentence in (
        "The job file describes no vehicle",
        "No part stands on a plate.",
        "No spool is used.",
        "The job file lists no hardware.",
        "To buy: no spool.",
        "The plan names no source.",
    ):
        assert sentence in text


def test_part_without_checks_and_printer(plan, make):
    data = Reason(topic="data", effect="not judged", text="no load is given")
    part = make.part_plan(
        "plain",
        make.box(9, 8, 7),
        make.candidate("plain", make.verdict("asa", "not judged", data), None),
    )
    text = text_of(lxml.html.document_fromstring(sheet_html(replace(plan, parts=(part,)))))
    assert "No strength check was made." in text
    assert "no printer here can print it" in text
    assert "plain could not be judged" in text
    assert "no load is given" in text
    assert "No place is thinner than 1.80" in text


# --- the sentence at the head ---------------------------------------------------------------------


def test_many_unfit_parts_are_grouped(plan, make):
    def unfit(name: str, topic: str, suitability: str = "unsuitable"):
        reason = Reason(topic=topic, effect=suitability, text="because")
        return make.part_plan(
            name, make.box(9, 8, 7), make.candidate(name, make.verdict("asa", suitability, reason))
        )

    parts = (
        unfit("a", "heat"),
        unfit("b", "strength"),
        unfit("c", "strength"),
        unfit("d", "data", "not judged"),
        plan.parts[0],
    )
    sentence = verdict_sentence(replace(plan, parts=parts))
    sentence = lxml.html.fromstring(f"<p>{sentence}</p>").text_content().replace("\u00a0", " ")
    assert sentence.startswith(
        "1 of 5 parts has a fit filament; too hot: a; too weak: b and c; not judged: d; refused: "
    )


@pytest.mark.parametrize(
    ("topic", "words"),
    [
        ("heat", "gets too hot at"),
        ("strength", "is too weak"),
        ("wall", "is too thin at"),
        ("printer", "can't be printed here"),
        ("weather", "does not stand the weather"),
    ],
)
def test_one_unfit_part_is_explained(plan, make, topic, words):
    reason = Reason(topic=topic, effect="unsuitable", text="because")
    part = make.part_plan(
        "x", make.box(9, 8, 7), make.candidate("x", make.verdict("asa", "unsuitable", reason))
    )
    assert words in verdict_sentence(replace(plan, parts=(plan.parts[0], part)))


def test_all_fit(plan):
    good = replace(plan, parts=plan.parts[:1])
    assert stamp_text(good) == ("fit", "all parts fit")
    assert "refused: " in verdict_sentence(good)
