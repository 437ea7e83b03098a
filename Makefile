# Only Python 3.11 or newer (with venv) is needed on the machine: Node and everything else comes from the package registries,
# pinned with hashes. What pip was told by the environment (indexes, certificates, time-outs) holds for uv too.
.DEFAULT_GOAL := help
SHELL := /bin/sh
PORT ?= 8000
DATA ?= demo-data
PYTHON ?= python3
PROCESSES ?= 3
DIST ?= dist
BIN := .venv/bin
export UV_PROJECT_ENVIRONMENT := $(CURDIR)/.venv
# A test starts a hundred processes: each would compile what the one before it compiled. What is kept is in .gitignore.
unexport PYTHONDONTWRITEBYTECODE
ifdef PIP_INDEX_URL
export UV_DEFAULT_INDEX ?= $(PIP_INDEX_URL)
endif
ifdef PIP_EXTRA_INDEX_URL
export UV_INDEX ?= $(PIP_EXTRA_INDEX_URL)
endif
ifdef PIP_CERT
export SSL_CERT_FILE ?= $(PIP_CERT)
endif
ifdef PIP_DEFAULT_TIMEOUT
export UV_HTTP_TIMEOUT ?= $(PIP_DEFAULT_TIMEOUT)
endif
INSTALL := $(BIN)/uv pip install --quiet --python $(BIN)/python --require-hashes
ITSELF := $(BIN)/uv pip install --quiet --python $(BIN)/python --no-deps --no-build-isolation --editable .

.PHONY: help demo test coverage lint bench shell wheel lock screenshots clean

help: ## this list
	@awk -F ':.*## ' '/^[a-z]+:.*## / {printf "  make %-12s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

demo: .venv/.runtime shell ## an invented company on http://127.0.0.1:$(PORT) (PORT=8000), kept in DATA=./demo-data
	@$(BIN)/undercroft demo --port $(PORT) --data "$(DATA)"

test: lint ## lint, then every test (unit, both engines, both databases, a real browser), in PROCESSES=2
	@$(BIN)/python -m e2e.setup_browser
	$(BIN)/python -m pytest --numprocesses $(PROCESSES)

coverage: .venv/.dev shell ## branch coverage of webapp/ by the quick tests
	$(BIN)/python -m pytest -m "not browser" --cov --cov-report=term

lint: .venv/.dev shell ## ruff, mypy, import contracts, tsc
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m service_worker.build.check_types

bench: .venv/.dev shell ## the figures of docs/, measured on this machine
	@for script in tests/benchmarks/bench_*.py; do echo "== $$script"; $(BIN)/python $$script || exit 1; done

shell: .venv/.runtime ## build the phone's shell, if a source changed
	@$(BIN)/python service_worker/build/build.py --if-stale

wheel: .venv/.runtime ## dist/*.whl, with the built shell inside
	$(BIN)/uv build --quiet --wheel --build-constraints requirements/build.lock --require-hashes --out-dir $(DIST)

lock: .venv/.runtime ## resolve requirements/*.lock anew (UPGRADE=--upgrade for newer versions)
	$(BIN)/python requirements/lock.py $(UPGRADE)

screenshots: .venv/.dev shell ## every screen at phone and office size, into docs/screenshots
	$(BIN)/python -m e2e.screenshots

clean: ## everything that was made here, but not the data
	rm -rf .venv dist service_worker/node_modules service_worker/generated service_worker/shell/generated
	rm -rf webapp/shell/built webapp/look/static/built .pytest_cache .mypy_cache .ruff_cache .import_linter_cache .hypothesis

# Stamps: what is newer than its lock is not installed twice.
.venv/.uv: requirements/bootstrap.lock
	@$(PYTHON) -c 'import sys; sys.exit("Python 3.11 or newer is needed; this is " + sys.version.split()[0] + ". Try make PYTHON=python3.11 …" if sys.version_info < (3, 11) else 0)'
	@test -x $(BIN)/python || $(PYTHON) -m venv .venv
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/bootstrap.lock
	@touch $@

.venv/.runtime: .venv/.uv requirements/runtime.lock requirements/build.lock pyproject.toml
	@$(INSTALL) -r requirements/runtime.lock -r requirements/build.lock
	@$(ITSELF)
	@touch $@

.venv/.dev: .venv/.runtime requirements/dev.lock
	@$(INSTALL) -r requirements/dev.lock
	@touch $@
