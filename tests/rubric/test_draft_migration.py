from rubric.definition import Draft, read, write_json
from tests.factories import PULSE_CHECK
from tests.rubric.stores import migrate

BEFORE = ("rubric", "0003_editions_say_what_kept_its_meaning")
AFTER = ("rubric", "0004_rubrics_hold_a_draft")


def test_a_document_becomes_a_draft_that_says_the_same_and_back(empty_store):
    definition = read(PULSE_CHECK.read_text(encoding="utf-8"), "rubric")
    old = migrate(empty_store, BEFORE)

    def make(model, **fields):
        return old.get_model(model).objects.using(empty_store).create(**fields)

    row = make(
        "rubric.Rubric",
        course=make("accounts.Course", title="Course"),
        title=definition.title,
        document=write_json(definition),
        changed_by=make("accounts.User", name="Ada", email="a@b.example"),
    )

    def now(target):
        rubric = migrate(empty_store, target).get_model("rubric.Rubric")
        return rubric.objects.using(empty_store).get(pk=row.pk)

    draft = Draft.load(now(AFTER).draft)
    assert draft.definition() == definition
    assert draft.nodes["sheet"].by == "Ada"
    assert read(now(BEFORE).document, "document") == definition
