# SPDX-License-Identifier: Apache-2.0
# make run | test | build | bench | docs | check | install | clean. Meson does the building; this file
# only says in which order things happen on a fresh machine.
BUILD := build
STORE ?= demo.lake
PORT ?= 8737
# The demo's records end on this day; your own store uses today: make run STORE=mine.lake TODAY=
TODAY ?= $(if $(filter demo.lake,$(STORE)),2026-04-08,)
PREFIX ?= /usr/local

.PHONY: run test build app bench docs check format install clean

build: $(BUILD)/build.ninja app
	@ninja -C $(BUILD) --quiet

$(BUILD)/build.ninja:
	@tools/need.sh build
	@meson setup $(BUILD) --prefix $(PREFIX) >/dev/null

# The page: npm ci only when the lock file changed, then one bundle.
app: app/dist/index.html

app/node_modules/.stamp: app/package-lock.json
	@tools/need.sh build
	@cd app && npm ci --silent --no-audit --no-fund && touch node_modules/.stamp

app/dist/index.html: app/node_modules/.stamp $(shell find app/src app/build.mjs app/public -type f 2>/dev/null)
	@cd app && npm run --silent build

run: build
	@test -e $(STORE) || { test $(STORE) = demo.lake && $(BUILD)/lakeward demo $(STORE); } || $(BUILD)/lakeward new $(STORE)
	@LAKEWARD_TODAY=$(TODAY) $(BUILD)/lakeward --store $(STORE) now
	@LAKEWARD_TODAY=$(TODAY) $(BUILD)/lakeward --store $(STORE) serve --port $(PORT)

test:
	@tools/need.sh build test
	@tools/test.sh

check:
	@tools/need.sh build test check
	@tools/check.sh

# What only the benchmarks compare with is optional: without it they say so.
bench:
	@tools/need.sh bench || true
	@test ! -f $(BUILD)/build.ninja || meson setup --reconfigure $(BUILD) >/dev/null
	@$(MAKE) --no-print-directory build
	@bench/run.sh

docs: build
	@$(BUILD)/lakeward docs methods > docs/methods.md
	@$(BUILD)/lakeward docs rules > docs/rules.md
	@$(BUILD)/lakeward docs man > docs/lakeward.1
	@$(BUILD)/lakeward docs completion > docs/lakeward.bash

format:
	@git ls-files '*.c' '*.h' | xargs clang-format -i

install: build
	@meson install -C $(BUILD) --quiet

clean:
	@rm -rf $(BUILD) build-* app/dist
