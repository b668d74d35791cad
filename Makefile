# Two commands do all the set-up: make demo and make test. Both install what a
# machine lacks (Debian packages, Go modules) and work again and again.

BUILD   := .build
BIN     := $(BUILD)/drawbar
# Pinned: a newer one is taken by changing this line.
STATICCHECK := honnef.co/go/tools/cmd/staticcheck@v0.8.2
# Rooms that need no C library. The others hold the only imports of GDAL.
PURE    := ./route/... ./terrain ./vehicle/... ./samples/...
SAMPLE  := samples/routes.geojson --dem samples/valley.tif --transporter samples/transporter-112t.yaml --helper samples/helper-40t.yaml --bar-rating 400

.PHONY: demo test check build setup bench golden fuzz clean

demo: build ## build and judge the five sample routes
	@rm -f $(BUILD)/segments.geojson
	@$(BIN) check $(SAMPLE) --segments $(BUILD)/segments.geojson; s=$$?; \
	if [ $$s -eq 11 ]; then echo; echo "segments written to $(BUILD)/segments.geojson (exit status 11: one of the routes needs a detour, as it should)"; \
	else echo "expected exit status 11, got $$s" >&2; exit 1; fi

test: setup ## all tests
	go test ./...

build: setup
	@mkdir -p $(BUILD)
	go build -o $(BIN) ./cmd/drawbar

setup: ## install what is missing; says what it does
	@.ci/setup

check: setup ## everything CI wants
	@echo "== gofmt"; out=$$(gofmt -l cmd route terrain vehicle samples); [ -z "$$out" ] || { echo "not gofmt'ed: $$out" >&2; exit 1; }
	@echo "== go vet"; go vet ./...
	@echo "== go mod tidy"; go mod tidy -diff
	@echo "== staticcheck"; go run $(STATICCHECK) ./...
	@echo "== import table"; go test ./cmd/drawbar -run 'TestImport' -count=1
	@echo "== pure rooms without cgo"; CGO_ENABLED=0 go build ./... && CGO_ENABLED=0 go test -short $(PURE)
	@echo "== race"; go test -race -short ./...

bench: setup ## figures that the documents quote
	DRAWBAR_ROADS=full go test ./route/profile -run TestStudy -count=1 -timeout 60m -v
	DRAWBAR_ROADS=full go test ./route/check -run 'TestChanceAgainstDraws|TestJointAgainstDraws' -count=1 -v
	DRAWBAR_BENDS=full go test ./route/bend -run 'TestStudy|TestRealRoads' -count=1 -timeout 60m -v
	go test ./terrain/raster ./route/bend ./vehicle/sweep ./vehicle/loadeffect ./vehicle/traction ./route/structure ./route/ways ./route/geofile ./route/profile ./route/check ./route/verdict -run '^$$' -bench . -benchtime 0.5s
	DRAWBAR_ROADS=full go test ./route/secondtow -run TestPlanAgainstBruteForce -count=1 -timeout 120m -v
	DRAWBAR_FIGURES=1 go test ./cmd/drawbar -run TestFigures -count=1 -v

golden: setup ## write the golden files again; read the difference before you commit it
	go test ./cmd/drawbar ./samples/valley ./route/report -update

fuzz: setup ## half a minute on each parser
	go test ./route/geofile -run '^$$' -fuzz FuzzRead -fuzztime 30s
	go test ./route/geofile/osm -run '^$$' -fuzz FuzzPBF -fuzztime 30s
	go test ./route/geofile/osm -run '^$$' -fuzz FuzzXML -fuzztime 30s
	go test ./route/known -run '^$$' -fuzz FuzzReadCSV -fuzztime 30s
	go test ./vehicle/specfile -run '^$$' -fuzz Fuzz -fuzztime 30s -fuzzminimizetime 10x

clean:
	rm -rf $(BUILD)
