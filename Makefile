# make demo   set everything up and serve the demo
# make test   set everything up and run every test, on SQLite and on PostgreSQL
# make check  format, lint, types, imports, templates, scripts, migrations
# make lock   work out requirements.lock anew from pyproject.toml

PYTHON ?= python3
PORT ?= 8000

BIN := .venv/bin
NODE := .ci/node_modules/.bin
DEMO := BELLSIDE_DEMO=1 BELLSIDE_DATABASE=sqlite:///$(CURDIR)/var/demo.sqlite3
CODE := accounts rubric grading
# Figures, outcomes and permissions hang on this code: every branch of it is tested.
PURE := accounts/roles.py,rubric/faults.py,rubric/definition/*,grading/scoring/*,grading/statistics/*,grading/pictures/*

.DELETE_ON_ERROR:
.PHONY: demo test check lock clean system-demo system-test system-check port \
	test-sqlite test-postgresql test-browser test-browser-desk test-browser-pages benchmark \
	lint types imports templates scripts store format

demo: system-demo .venv/.installed port
	@mkdir -p var
	@$(DEMO) $(BIN)/python manage.py migrate --verbosity 0
	@$(DEMO) $(BIN)/python manage.py collectstatic --noinput --verbosity 0
	@echo "Loading the demo ..."
	@$(DEMO) $(BIN)/python manage.py demo
	@echo
	@echo "Bellside's demo is at http://127.0.0.1:$(PORT)/ (Ctrl-C stops it)"
	@exec env $(DEMO) $(BIN)/granian --interface wsgi --host 127.0.0.1 --port $(PORT) \
		--blocking-threads 4 --log-level warning accounts.site.wsgi:application

# Both stores at once, each told as a whole; then the browsers, in two halves.
test: system-test .venv/.installed
	@echo "Running the tests on SQLite and on PostgreSQL at once, some minutes ..."
	@$(MAKE) --no-print-directory --jobs=2 --output-sync=target test-sqlite test-postgresql
	@$(MAKE) --no-print-directory --jobs=2 --output-sync=target test-browser

test-sqlite: system-test .venv/.installed
	$(BIN)/coverage run -m pytest --ignore tests/browser
	$(BIN)/coverage report
	$(BIN)/coverage report --include='$(PURE)' --fail-under=100

test-postgresql: system-test .venv/.installed
	.ci/with-postgres $(BIN)/pytest --ignore tests/browser

test-browser: test-browser-desk test-browser-pages

test-browser-desk: system-test .venv/.installed
	$(BIN)/pytest tests/browser -k desk

test-browser-pages: system-test .venv/.installed
	$(BIN)/pytest tests/browser -k 'not desk'

# Every figure takes a quarter of an hour on a quiet machine; COST= names some of them.
benchmark: system-test .venv/.installed
	$(BIN)/pytest -m benchmark -s -p no:randomly $(COST)

check: lint types imports templates scripts store

lint: .venv/.installed
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .

types: .venv/.installed
	BELLSIDE_DEMO=1 $(BIN)/mypy

imports: .venv/.installed
	$(BIN)/lint-imports

templates: .venv/.installed
	git ls-files -z '*.html' '*.svg' ':!fixtures' ':!*/static/*' | \
		xargs -0 -r $(BIN)/djade --check --target-version 5.2

scripts: system-check .ci/node_modules/.installed
	$(NODE)/biome ci --colors=off --config-path=.ci $(CODE)
	$(NODE)/tsc -p .ci/tsconfig.json

store: .venv/.installed
	BELLSIDE_DEMO=1 $(BIN)/python manage.py makemigrations --check --dry-run

# Puts Python, templates and scripts into the form that `check` asks for.
format: .venv/.installed .ci/node_modules/.installed
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .
	git ls-files -z '*.html' '*.svg' ':!fixtures' ':!*/static/*' | \
		xargs -0 -r $(BIN)/djade --target-version 5.2
	$(NODE)/biome check --colors=off --write --config-path=.ci $(CODE)

lock: .venv/.installed
	$(BIN)/pip install --quiet 'pip-tools>=7.6,<8'
	$(BIN)/pip-compile --quiet --all-extras --allow-unsafe --generate-hashes --strip-extras \
		--no-emit-find-links --no-emit-index-url --no-emit-trusted-host \
		--output-file=requirements.lock pyproject.toml

clean:
	rm -rf .venv .ci/node_modules var/static var/demo.sqlite3* .mypy_cache .ruff_cache \
		.pytest_cache .hypothesis .import_linter_cache .coverage

system-demo system-test system-check: system-%:
	@PYTHON=$(PYTHON) .ci/system $*

port: .venv/.installed
	@$(BIN)/python -c 'import socket, sys; s = socket.socket(); s.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1); sys.exit(s.connect_ex(("127.0.0.1", $(PORT))) == 0)' || \
		{ echo "Something else listens on port $(PORT). Choose another: make demo PORT=8001" >&2; exit 1; }

.venv/.installed: requirements.lock | system-demo
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
		{ echo "Bellside needs Python 3.11 or newer, and this is $$($(PYTHON) --version)." \
		"Name another: make $(MAKECMDGOALS) PYTHON=python3.12" >&2; exit 1; }
	@echo "Installing Python packages into .venv, about a minute ..."
	@$(PYTHON) -m venv .venv
	@$(BIN)/pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	@touch $@

.ci/node_modules/.installed: .ci/package-lock.json | system-check
	cd .ci && npm ci --silent
	@touch $@
