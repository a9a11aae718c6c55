.DEFAULT_GOAL := help
.PHONY: help manual serve handover test check bench clean

export PIP_DISABLE_PIP_VERSION_CHECK := 1
export PIP_ROOT_USER_ACTION := ignore
export NO_MKDOCS_2_WARNING := 1

PYTHON ?= python3
INSTALL := .venv/bin/python -m pip install -c constraints.txt
SOURCES := pyproject.toml constraints.txt
DRAWINGS := dot=graphviz
BOOKS := libpango-1.0.so.0=libpango-1.0-0 libpangoft2-1.0.so.0=libpangoft2-1.0-0 \
	libharfbuzz-subset.so.0=libharfbuzz-subset0

help: ## Say what can be made
	@sed -n 's/^\([a-z]*\):.*## /  make \1\t/p' Makefile | expand -t 16

manual: .venv/ready ## Build site/ from specs/
	@tools/system-packages.sh $(DRAWINGS)
	.venv/bin/mkdocs build

serve: .venv/ready ## Serve the manual and rebuild it as specs change
	@tools/system-packages.sh $(DRAWINGS)
	.venv/bin/mkdocs serve

handover: .venv/ready ## Make what a vessel is handed over with: make handover VESSEL=brannock
	@tools/system-packages.sh $(DRAWINGS) $(BOOKS)
	.venv/bin/installgen handover $(VESSEL) --out $(or $(OUT),handover) $(if $(DRAFT),--draft)

test: .venv/ready-test ## Run the tests
	@tools/system-packages.sh $(DRAWINGS) $(BOOKS)
	.venv/bin/python -m pytest -n auto --dist loadgroup

check: .venv/ready-test ## Check style and types
	.venv/bin/ruff check .
	.venv/bin/ruff format --check .
	.venv/bin/mypy

bench: .venv/ready-test ## Measure the build, and the networks beside ngspice
	@tools/system-packages.sh $(DRAWINGS) ngspice=ngspice
	.venv/bin/python -m benchmarks

clean: ## Remove everything that was made
	rm -rf .venv site build dist *.egg-info .installgen-cache
	rm -rf .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

# pip's talk is kept for when it fails.
define install
@echo "Installing Python packages into .venv, which takes a minute"
@$(INSTALL) -e $(1) >.venv/pip.log 2>&1 || { cat .venv/pip.log >&2; exit 1; }
@touch $(2)
endef

.venv/ready: $(SOURCES) | .venv/bin/python
	$(call install,.,$@)

.venv/ready-test: $(SOURCES) | .venv/bin/python
	$(call install,'.[test]',.venv/ready $@)

.venv/bin/python:
	@tools/system-packages.sh $(PYTHON)=python3 venv=python3-venv
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
		{ echo "Python 3.11 or newer is needed: make PYTHON=python3.12 ..." >&2; exit 1; }
	@$(PYTHON) -m venv .venv
