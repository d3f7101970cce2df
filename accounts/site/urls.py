from allauth.account import views as sign_in
from django.urls import include, path, re_path

# allauth's pages by name; those that Bellside has no use for (registering, further
# addresses) are left out.
urlpatterns = [
    path("", include("grading.urls")),
    path("rubrics/", include("rubric.urls")),
    path("", include("accounts.urls")),
    path("sign-in/", sign_in.login, name="account_login"),
    path("sign-in/closed/", sign_in.account_inactive, name="account_inactive"),
    path("sign-out/", sign_in.logout, name="account_logout"),
    path("password/", sign_in.password_change, name="account_change_password"),
    path("password/forgotten/", sign_in.password_reset, name="account_reset_password"),
    path(
        "password/forgotten/sent/",
        sign_in.password_reset_done,
        name="account_reset_password_done",
    ),
    re_path(
        r"^password/new/(?P<uidb36>[0-9A-Za-z]+)-(?P<key>.+)/$",
        sign_in.password_reset_from_key,
        name="account_reset_password_from_key",
    ),
    path(
        "password/new/set/",
        sign_in.password_reset_from_key_done,
        name="account_reset_password_from_key_done",
    ),
]
