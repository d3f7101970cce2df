"""The report as PDF/UA-1: what ISO 14289-1 asks of tags and metadata, and what is read.

The files are opened with pikepdf; words and places come from poppler's pdftotext.
"""

import re
import subprocess
from itertools import pairwise

import pikepdf
import pytest
from django.urls import reverse

from accounts.models import AuditEntry
from grading.exports.feedback import feedback_of
from grading.exports.feedback_pdf import pdf_of
from grading.models import Release
from tests.grading.feedback import HANDS, LEFT, comment, release_for, rubric_of

ARABIC, CHINESE = "ليلى حدّاد", "李晓明"
MM = 72 / 25.4


@pytest.fixture
def pdf(tmp_path, student, cohort, instructor):
    """A report as bytes, opened, and with its words; `name` is the student's."""

    def make(states=None, name="Sana Whitlock", paper="a4", **options):
        release = release_for(student, cohort, instructor, states, **options)
        read = Release.objects.for_feedback().get(pk=release.pk)
        content = pdf_of(feedback_of(read, [read], name=name), paper)
        return Report(content, tmp_path / "report.pdf")

    return make


class Report:
    def __init__(self, content, path):
        path.write_bytes(content)
        self.path = path
        self.pdf = pikepdf.open(path)

    def words(self, *options):
        found = subprocess.run(
            ["pdftotext", *options, self.path, "-"], capture_output=True, check=True
        )
        return found.stdout.decode()

    def elements(self, kind):
        """The structure elements of a kind, in reading order."""
        return [e for e in _walk(self.pdf.Root.StructTreeRoot) if e.get("/S") == kind]

    def fonts(self):
        """The families embedded, by the names that the report's styles give them."""
        found = subprocess.run(["pdffonts", self.path], capture_output=True, check=True)
        lines = found.stdout.decode().splitlines()[2:]
        names = {line.split()[0].partition("+")[2] for line in lines}
        return {name.removesuffix("-Bold") for name in names}


def _walk(element):
    kids = element.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from _walk(kid)


def test_it_declares_pdf_ua_1(pdf):
    report = pdf()
    with report.pdf.open_metadata() as metadata:
        assert metadata["pdfuaid:part"] == "1"


def test_it_is_tagged_and_names_title_and_language(pdf):
    report = pdf()
    root = report.pdf.Root
    assert root.MarkInfo.Marked is True
    assert root.Lang == "en"
    assert root.ViewerPreferences.DisplayDocTitle is True
    assert "/StructTreeRoot" in root


def test_its_title_names_person_and_edition(pdf):
    report = pdf()
    with report.pdf.open_metadata() as metadata:
        assert metadata["dc:title"] == (
            "Feedback: Sana Whitlock, Two-minute pulse check, edition 1"
        )


def test_every_part_has_a_bookmark_under_its_heading(pdf):
    report = pdf()
    with report.pdf.open_outline() as outline:
        (top,) = outline.root
        titles = [item.title for item in top.children]
        sections = [item.title for item in top.children[-1].children]
    assert top.title == "Feedback: Sana Whitlock"
    assert titles == [
        "Work on first",
        "By section",
        "Critical elements and hazards",
        "Rules",
        "Every element",
    ]
    assert sections == [
        "Opening, 3 of 3 points",
        "Pulses, 5 of 5 points",
        "Manner, no points counted",
    ]


def test_headings_do_not_skip_a_level(pdf):
    report = pdf()
    levels = [
        int(str(element.S)[2:])
        for element in _walk(report.pdf.Root.StructTreeRoot)
        if re.fullmatch(r"/H\d", str(element.S))
    ]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_picture_has_words(pdf):
    report = pdf()
    figures = report.elements("/Figure")
    assert [str(figure.Alt) for figure in figures] == [
        "Opening: 3 of 3 points",
        "Pulses: 5 of 5 points",
        "Manner: no points counted",
    ]


def test_every_cell_of_a_table_names_the_head_of_its_column(pdf):
    report = pdf({HANDS: "missed"})
    heads = {
        str(cell.ID)
        for head in report.elements("/THead")
        for cell in _walk(head)
        if cell.S == "/TH"
    }
    named = [{str(h) for h in cell.A.Headers} for cell in report.elements("/TD")]
    assert len(named) > 20
    assert all(heads & headers for headers in named)


def test_an_element_is_the_header_of_its_row(pdf):
    report = pdf()
    rows = [e for e in report.elements("/TR") if len(e.K) == 4]
    kinds = {tuple(str(cell.S) for cell in row.K) for row in rows}
    assert kinds == {
        ("/TH",) * 4,
        ("/TD", "/TH", "/TD", "/TD"),
        ("/TH", "/TD", "/TD", "/TD"),
    }


def test_all_that_is_drawn_is_held_by_the_structure_or_an_artifact(pdf):
    report = pdf()
    root = report.pdf.Root.StructTreeRoot
    held = {element.objgen for element in _walk(root)}
    for number, page in enumerate(report.pdf.pages):
        elements = root.ParentTree.Nums[2 * number + 1]
        opened, footers = [], 0
        for operands, operator in pikepdf.parse_content_stream(page):
            if str(operator) in {"BDC", "BMC"}:
                opened.append(operands)
                footers += (
                    len(operands) > 1 and operands[1].get("/Subtype") == "/Footer"
                )
            elif str(operator) == "EMC":
                operands = opened.pop()
                if operands[0] != "/Artifact":
                    assert elements[int(operands[1].MCID)].objgen in held
            elif str(operator) in {"Tj", "TJ", "S", "f", "f*", "B", "Do", "sh"}:
                assert opened, f"{operator} outside"
        assert footers == 2


def test_signs_are_decoration_and_their_words_are_text(pdf):
    report = pdf({HANDS: "missed", LEFT: "unseen"})
    assert len(report.elements("/Figure")) == 3  # the bars alone
    words = report.words()
    assert "missed" in words
    assert "not seen" in words


@pytest.mark.parametrize(
    ("paper", "width", "height"), [("a4", 210 * MM, 297 * MM), ("letter", 612, 792)]
)
def test_it_is_set_for_the_paper_asked_for(pdf, paper, width, height):
    for page in pdf(paper=paper).pdf.pages:
        box = [float(edge) for edge in page.MediaBox]
        assert box == pytest.approx([0, 0, width, height], abs=0.5)


def test_each_page_says_which_it_is_and_whose(pdf):
    report = pdf(rubric=rubric_of(120))
    pages = len(report.pdf.pages)
    assert pages > 3
    for number in range(1, pages + 1):
        words = report.words("-f", str(number), "-l", str(number))
        assert f"Page {number} of {pages}" in words
        assert "Feedback: Sana Whitlock" in words


def test_a_hundred_and_twenty_elements_are_all_there_once(pdf):
    words = pdf(rubric=rubric_of(120)).words("-layout")
    rows = re.findall(
        r"^ *done +(Step \d+) critical +\d:\d\d +1 of 1$", words, re.MULTILINE
    )
    assert rows == [f"Step {n}" for n in range(120)]


@pytest.mark.parametrize(
    ("name", "font"),
    [
        (CHINESE, "Han"),
        (ARABIC, "Arabic"),
        ("דנה לוי", "Hebrew"),
        ("अनीता राव", "Devanagari"),
        ("สมชาย ใจดี", "Thai"),
        ("김서연 さくら", "Han"),
    ],
)
def test_names_are_set_in_the_fonts_that_come_with_the_app(pdf, name, font):
    report = pdf(name=name)
    assert font in report.fonts()
    if font != "Arabic":  # whose letters poppler gives in their joined forms
        assert all(part in report.words() for part in name.split())


def test_no_font_is_taken_from_the_machine(pdf):
    report = pdf(
        {HANDS: "missed"},
        name=f"{ARABIC} {CHINESE} Ďuríčková Ωμέγα Дарья Nguyễn",
        more=[comment("a", "Slower → steadier: ≥ 30 s, “finger pads”", LEFT, 1.0)],
    )
    assert report.fonts() == {"Text", "Head", "Arabic", "Han"}


def test_the_words_of_an_arabic_name_stand_from_right_to_left(pdf):
    boxes = pdf(name=ARABIC).words("-bbox", "-f", "1", "-l", "1")
    words = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)"[^>]*>([^<]+)<', boxes)
    heading = [
        (float(left), set(word))
        for left, top, word in words
        if float(top) < 100 and set(word) & set(ARABIC)
    ]
    from_the_right = [letters for _, letters in sorted(heading, reverse=True)]
    assert from_the_right == [set(word) for word in ARABIC.split()]


def test_a_long_word_stays_inside_the_page(pdf):
    word = "sternocleidomastoid" * 12
    report = pdf(more=[comment("a", word, LEFT, 1.0)])
    boxes = report.words("-bbox")
    edges = [float(right) for right in re.findall(r'xMax="([\d.]+)"', boxes)]
    assert max(edges) <= (210 - 17) * MM + 0.5
    assert word in report.words().replace("\n", "").replace(" ", "")


def test_it_holds_no_link_to_the_recording(pdf):
    content = pdf(more=[comment("a", "Slower.", LEFT, 61.0)])
    assert "1:01" in content.words()
    assert all("/Annots" not in page for page in content.pdf.pages)


def test_a_comment_cannot_make_the_report_fetch(pdf):
    more = [comment("a", '<img src="file:///etc/hostname"> <b>x</b>', LEFT, 1.0)]
    report = pdf(more=more)
    assert '<img src="file:///etc/hostname"> <b>x</b>' in report.words("-raw")


# The address


def test_the_reader_gets_a_file_and_the_audit_an_entry(
    client_of, student, cohort, instructor
):
    release = release_for(student, cohort, instructor)
    address = reverse("grading:feedback_pdf", args=[release.pk])
    response = client_of(student).get(address)
    assert response.headers["Content-Type"] == "application/pdf"
    number = release.submission.number
    assert response.headers["Content-Disposition"] == (
        f'attachment; filename="feedback-{number}-1.pdf"'
    )
    entry = AuditEntry.objects.latest("number")
    assert (entry.actor, entry.verb) == (student, AuditEntry.Verb.EXPORTED)


def test_paper_that_nobody_makes_is_refused_in_words(
    client_of, student, cohort, instructor
):
    release = release_for(student, cohort, instructor)
    address = reverse("grading:feedback_pdf", args=[release.pk])
    response = client_of(student).get(address, {"paper": "a5"})
    assert response.status_code == 400
    assert response.content.decode() == "paper must be a4 or letter, but is 'a5'."
