import pytest

from rubric.definition import Draft, read_lines
from rubric.definition.keys import is_key
from tests.rubric.drafts import change, made, part, pulse_check, statuses


def texts(text, **options):
    return [row["fields"].get("text") for row in read_lines(text, **options)]


def only(text):
    (row,) = read_lines(text)
    return row["fields"], row["notes"]


@pytest.mark.parametrize(
    "line",
    [
        "Inspects the hands",
        "  Inspects the hands  ",
        "• Inspects the hands",
        "•\tInspects the hands",
        "- Inspects the hands",
        "– Inspects the hands",
        "* Inspects the hands",
        "o Inspects the hands",
        "☐ Inspects the hands",
        "[ ] Inspects the hands",
        "1. Inspects the hands",
        "1.\tInspects the hands",
        "12) Inspects the hands",
        "(3) Inspects the hands",
        "2.1.4 Inspects the hands",
        "a. Inspects the hands",
        "iv) Inspects the hands",
        "• 1. Inspects\u00a0the hands\u200b",
        "\tInspects the hands",
        "Inspects the hands\r\n\r\n\r\n",
        "\x0b\x0cInspects the hands\u2028",
    ],
)
def test_bullets_numbers_and_blanks_are_taken_off(line):
    assert texts(line) == ["Inspects the hands"]


@pytest.mark.parametrize(
    "line", ["Says “I would ...”", "Asks (briefly) why", "3 breaths"]
)
def test_what_only_looks_like_a_mark_stays(line):
    assert texts(line)[0].endswith(line[3:])
    assert texts(f"- {line}") == texts(line)


@pytest.mark.parametrize(
    ("line", "points"),
    [
        ("Feels the pulse (2)", 2),
        ("Feels the pulse (2 points)", 2),
        ("Feels the pulse [1.5 pts]", 1.5),
        ("Feels the pulse (1,5 marks)", 1.5),
        ("Feels the pulse - 2 pts", 2),
        ("Feels the pulse, 2 points.", 2),
        ("Feels the pulse (½ point)", 0.5),
        ("Feels the pulse ____/3", 3),
        ("Feels the pulse (/3)", 3),
        ("(2 pts) Feels the pulse", 2),
        ("Feels the pulse\t2", 2),
        ("Feels the pulse\t2 pts", 2),
    ],
)
def test_points_are_read_from_words_brackets_and_columns(line, points):
    fields, _ = only(line)
    assert (fields["text"], fields["points"]) == ("Feels the pulse", points)


@pytest.mark.parametrize("line", ["Counts for 30 seconds", "Feels cranial nerve 7"])
def test_a_number_in_the_text_is_no_points(line):
    fields, notes = only(line)
    assert (fields["text"], fields["points"]) == (line, 1)
    assert "1 point, because none was found" in notes


@pytest.mark.parametrize(
    ("line", "technique"),
    [
        ("Palpates the radial pulse", "palpate"),
        ("Feels for a thrill", "palpate"),
        ("Auscultate the aortic area", "auscultate"),
        ("Listening with the bell", "auscultate"),
        ("Auscultation of the lungs", "auscultate"),
        ("The student gently percusses the chest", "percuss"),
        ("Observes the skin", "inspect"),
        ("Counts the breaths", "measure"),
        ("Asks permission", "ask"),
        ("Identifies herself", "state"),
        ("Tapping over the sinuses", "percuss"),
        ("Washes hands", "perform"),
        ("Static posture is kept", "perform"),
    ],
)
def test_the_technique_is_read_from_the_leading_verb(line, technique):
    fields, notes = only(line)
    assert fields["technique"] == technique
    guessed = "perform, because no word says which technique" in notes
    assert guessed == (technique == "perform")


def test_evident_headings_become_sections_and_their_elements_keys_begin_with_theirs():
    rows = read_lines(
        "Opening:\nAsks consent\n\nNECK VESSELS\n1. Listens, left (2)\n"
        "Thorax (12 points):\nInspects\n## Legs\nPalpates the pulses:\n",
        section="old",
    )
    assert [(r["kind"], r["fields"]["key"]) for r in rows] == [
        ("section", "opening"),
        ("element", "opening.asks-consent"),
        ("section", "neck-vessels"),
        ("element", "neck-vessels.listens-left"),
        ("section", "thorax"),
        ("element", "thorax.inspects"),
        ("section", "legs"),
        ("element", "legs.palpates-pulses"),
    ]
    assert rows[2]["fields"]["title"] == "Neck vessels"


def test_a_table_with_a_head_gives_its_columns():
    (row, other) = read_lines(
        "No.\tItem\tMax\tMethod\tExpected\tComments\n"
        "1\tFeels the pulse\t2\tPalp.\t60 to 100\tboth arms\n"
        "2\tLooks at the hands\tmany\tlooking\t\t\n"
    )
    assert row["fields"] == {
        "key": "feels-pulse",
        "text": "Feels the pulse",
        "technique": "palpate",
        "points": 2,
        "expects": "60 to 100",
    }
    assert row["notes"] == ["left out: 'both arms'"]
    assert other["fields"]["points"] == 1
    assert "'many' is no number of points" in other["notes"]


def test_columns_without_a_head_are_told_by_what_they_hold():
    rows = read_lines("1\tFeels the pulse\tpalpate\t2\n2\tTaps the chest\tpercuss\t3\n")
    assert [
        (r["fields"]["text"], r["fields"]["technique"], r["fields"]["points"])
        for r in rows
    ] == [("Feels the pulse", "palpate", 2), ("Taps the chest", "percuss", 3)]


def test_cells_parted_by_commas_are_a_table_only_where_one_column_says_so():
    table = 'Element,Points\n"Asks, then waits",2\n"Says ""hello""",1\n'
    assert texts(table) == ["Asks, then waits", 'Says "hello"']
    assert texts("Asks;2\nSays;1\n") == ["Asks", "Says"]
    prose = "Feels, left\nFeels, right\n"
    assert texts(prose) == ["Feels, left", "Feels, right"]


def test_a_section_column_makes_sections():
    rows = read_lines("Section\tItem\nNeck\tLooks\nNeck\tFeels\nLegs\tLooks\n")
    kinds = ["section", "element", "element", "section", "element"]
    assert [r["kind"] for r in rows] == kinds
    assert rows[-1]["fields"]["key"] == "legs.looks"


def test_keys_are_keys_and_new():
    text = (
        "Feels the pulse\nFeels the pulse\nDrückt den Fuß\n脈を診る\n!!!\n" + "x" * 300
    )
    rows = read_lines(text, keys={"neck.feels-pulse"}, section="neck")
    keys = [row["fields"]["key"] for row in rows]
    assert keys[:3] == [
        "neck.feels-pulse-2",
        "neck.feels-pulse-3",
        "neck.drückt-den-fuß",
    ]
    assert len(set(keys)) == len(keys) == 6
    assert all(map(is_key, keys))


LINES = (
    "Opening:\r\n"
    "1.\tWashes hands (2)\r\n"
    "2.\tIntroduces themself by name and role\r\n\r\n"
    "Neck:\r\n"
    + "".join(
        f"• Listens over the {site} area with the {head} (1 pt)\r\n"
        for site in ("aortic", "pulmonic", "tricuspid", "mitral", "Erb")
        for head in ("diaphragm", "bell")
    )
    + "Pulses:\r\n"
    + "".join(
        f"{n})\tPalpates the {site} pulse, {side}\t1\r\n"
        for n, (site, side) in enumerate(
            (site, side)
            for site in (
                "temporal", "carotid", "brachial", "radial", "ulnar", "femoral",
                "popliteal", "posterior tibial", "dorsalis pedis", "apical",
                "aortic", "facial", "subclavian", "axillary",
            )
            for side in ("left", "right")
        )
    )
)  # fmt: skip


def test_forty_lines_of_a_word_processor_make_forty_elements_without_a_fault():
    rows = read_lines(LINES)
    elements = [row for row in rows if row["kind"] == "element"]
    assert len(elements) == 40
    assert [r["fields"]["title"] for r in rows if r["kind"] == "section"] == [
        "Opening",
        "Neck",
        "Pulses",
    ]
    draft, into = Draft.empty("Pasted"), "s1"
    sent, after = [change("remove", "s1")], None
    for n, row in enumerate(rows):
        if row["kind"] == "section":
            into, after = f"n{n}", None
            place = {"in": "sections", "after": "last"}
        else:
            place, after = {"in": into, "after": after}, f"n{n}"
        sent.append(
            change("add", f"n{n}", kind=row["kind"], fields=row["fields"], **place)
        )
    made_, results = made(draft, *sent)
    assert set(statuses(results)) == {"kept"}
    definition = made_.definition()
    assert len(definition.elements) == 40
    techniques = [e.technique for e in definition.elements]
    assert techniques[2:] == ["auscultate"] * 10 + ["palpate"] * 28
    assert [e.points for e in definition.elements[:3]] == [2, 1, 1]


def test_more_lines_than_anyone_checks_are_not_taken():
    with pytest.raises(ValueError, match="at most 500"):
        read_lines("Feels\n" * 501)
    assert len(read_lines("Feels\n" * 500)) == 500


@pytest.mark.parametrize("text", ["", " \r\n\t\t\n", "\x00", "\u200b"])
def test_nothing_gives_nothing(text):
    assert read_lines(text) == []


def test_keys_of_the_draft_are_not_given_again():
    from rubric.definition.cells import keys_in

    draft = pulse_check()
    assert part(draft, "opening.consent")
    keys = keys_in(draft)
    assert {"opening", "opening.consent", "enough-pulses"} < keys
    assert any(key.count(".") == 3 for key in keys)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Text\tTechnique\nFeels the pulse\tdances", "'dances' is no technique"),
        ("Text\tPoints\nFeels the pulse\t1\n\t2", "palpate from 'Feels'"),
    ],
)
def test_a_cell_that_is_not_understood_is_told_and_a_line_without_words_left_out(
    text, said
):
    (row,) = read_lines(text)
    assert row["fields"]["text"] == "Feels the pulse"
    assert row["fields"]["technique"] == "palpate"


def test_numbers_alone_make_no_elements():
    assert read_lines("1\t5\n2\t5\n3\t6") == []


def test_words_in_a_column_without_a_name_are_the_text():
    (row,) = read_lines("Text\tPoints\n\t2\tFeels the pulse")
    assert row["fields"]["text"] == "Feels the pulse"
    assert row["fields"]["points"] == 2
