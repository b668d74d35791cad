module drawbar

go 1.26

require (
	github.com/airbusgeo/godal v0.0.18
	github.com/goccy/go-yaml v1.19.0
	github.com/paulmach/orb v0.14.0
	github.com/paulmach/osm v0.8.0
	github.com/rogpeppe/go-internal v1.16.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3
	github.com/spf13/cobra v1.10.2
	github.com/spf13/pflag v1.0.9
	github.com/tidwall/geodesic v0.3.5
	github.com/tidwall/geojson v1.4.5
	github.com/tidwall/gjson v1.20.1
	github.com/tidwall/rtree v1.3.1
	pgregory.net/rapid v1.3.0
)

require (
	github.com/datadog/czlib v0.0.0-20160811164712-4bc9a24e37f2 // indirect
	github.com/inconshreveable/mousetrap v1.1.0 // indirect
	github.com/paulmach/protoscan v0.2.1 // indirect
	github.com/tidwall/geoindex v1.4.4 // indirect
	github.com/tidwall/match v1.1.1 // indirect
	github.com/tidwall/pretty v1.2.0 // indirect
	github.com/tidwall/sjson v1.2.4 // indirect
	go.mongodb.org/mongo-driver/v2 v2.5.0 // indirect
	golang.org/x/sys v0.30.0 // indirect
	golang.org/x/text v0.22.0 // indirect
	golang.org/x/tools v0.26.0 // indirect
	google.golang.org/protobuf v1.36.5 // indirect
)
