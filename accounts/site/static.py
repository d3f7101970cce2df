"""Static files under hashed names, also where one ES module imports another."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedStaticFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc]
    support_js_module_import_aggregation = True
