"""Static files under hashed names, also where one ES module imports another.

Django's own support for modules also follows `import("./x.js")`, which here stands in
comments only, as a type; two modules that know each other's types would then wait for
each other's hash for ever.
"""

from whitenoise.storage import CompressedManifestStaticFilesStorage

_MODULES = (
    "*.js",
    (
        (
            r"""(?P<matched>import\s+(?P<names>[\w*{][^;"']*?)\s+from\s*"(?P<url>\.[^"]+)";)""",
            'import %(names)s from "%(url)s";',
        ),
        (
            r"""(?P<matched>export\s+(?P<names>[*{][^;"']*?)\s+from\s*"(?P<url>\.[^"]+)";)""",
            'export %(names)s from "%(url)s";',
        ),
        (r"""(?P<matched>import\s*"(?P<url>\.[^"]+)";)""", 'import "%(url)s";'),
    ),
)


class HashedStaticFiles(CompressedManifestStaticFilesStorage):  # type: ignore[misc]
    patterns = (*CompressedManifestStaticFilesStorage.patterns, _MODULES)
    # One pass for each module in the longest row of imports.
    max_post_process_passes = 20
