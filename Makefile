.PHONY: build demo test lint bench assets generate fmt clean

build:
	@./scripts/build.sh

demo: build
	@bin/tengram demo

test:
	@./scripts/test.sh

lint:
	@./scripts/lint.sh

bench:
	@./scripts/bench.sh

assets:
	@./scripts/npm.sh && ./scripts/assets.sh

generate:
	@./scripts/generate.sh

fmt:
	@./scripts/fmt.sh

clean:
	@./scripts/clean.sh
