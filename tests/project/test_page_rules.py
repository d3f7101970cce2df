from tests.pages import check_page


def test_a_stranger_sees_the_sign_in_page(client, db):
    assert client.get("/sign-in/").status_code == 200


def test_pages_that_fail_the_rules_are_named():
    page = (
        "<!doctype html><html><head><title>Other</title></head><body><main>"
        '<h1 id="a" style="color:red">Home</h1><p id="a"><input name="x"></p>'
        "<script>go()</script></main></body></html>"
    )
    assert check_page(page) == [
        "html has no lang",
        "title 'Other' does not start with the h1 'Home'",
        "id a is used twice",
        "field 'x' has no label",
        "inline style on <h1>",
        "inline <script>",
    ]
