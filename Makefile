# The one door. Everything a newcomer or CI needs is a target here.
PYTHON ?= python3
PORT   ?= 8000
DATA   ?= ./data
V      := .venv/bin
UV     := $(V)/uv

.PHONY: run test lint bench setup setup-dev lock clean screenshots

run: .venv/base.done          ## open the working tool with the demo caseload
	$(V)/bylittle demo --data "$(DATA)" --port $(PORT)

test: setup-dev               ## lint, import rules, types and tests
	$(MAKE) --no-print-directory lint
	bash tests/house/prepare.sh
	bash tests/house/with_postgres.sh $(V)/python -m pytest -q -n 0 tests/web
	$(V)/python -m pytest -q -n 2 --dist loadfile

lint: .venv/dev.done
	$(V)/ruff format --check src tests benchmarks
	$(V)/ruff check src tests benchmarks
	$(V)/lint-imports
	$(V)/mypy

bench: .venv/dev.done
	$(V)/python -m benchmarks

setup: .venv/base.done
setup-dev: .venv/dev.done

.venv/uv.done:
	$(PYTHON) -m venv .venv
	$(V)/pip install -q --disable-pip-version-check "uv==0.13.9"
	touch $@

# A developer's environment serves `make run` too: base.done is made only where dev.done is not.
.venv/base.done: .venv/uv.done requirements/base.txt pyproject.toml
	if [ ! -e .venv/dev.done ]; then $(UV) pip sync -q --python $(V)/python --require-hashes --compile-bytecode requirements/base.txt; fi
	$(UV) pip install -q --offline --python $(V)/python --no-deps --no-build-isolation -e .
	touch $@

.venv/dev.done: .venv/uv.done requirements/dev.txt pyproject.toml
	$(UV) pip sync -q --python $(V)/python --require-hashes --compile-bytecode requirements/dev.txt
	$(UV) pip install -q --offline --python $(V)/python --no-deps --no-build-isolation -e .
	touch $@ .venv/base.done

lock: .venv/uv.done           ## make the requirement files again from pyproject.toml
	$(UV) pip compile -q --universal --python-version 3.11 --generate-hashes --no-header --extra all --group build pyproject.toml -o requirements/base.txt
	$(UV) pip compile -q --universal --python-version 3.11 --generate-hashes --no-header --extra all --extra cluster --group dev pyproject.toml -o requirements/dev.txt

screenshots: .venv/dev.done   ## make the pictures of the README again
	$(V)/python docs/pictures/make.py

clean:
	rm -rf .venv build dist .pytest_cache .mypy_cache .ruff_cache
