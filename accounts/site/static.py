"""Static files under hashed names, also where one ES module imports another."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedStaticFiles(CompressedManifestStaticFilesStorage):
    support_js_module_import_aggregation = True
