module abut

go 1.26.0

require (
	codeberg.org/go-pdf/fpdf v0.12.0
	fyne.io/fyne/v2 v2.7.1
	github.com/adrg/xdg v0.5.3
	github.com/alecthomas/kong v1.17.0
	github.com/ctessum/polyclip-go v1.1.0
	github.com/go-gl/glfw/v3.3/glfw v0.0.0-20240506104042-037f3cc74f2a
	github.com/go-text/typesetting v0.3.5
	github.com/gofrs/flock v0.13.2
	github.com/jeandeaual/go-locale v0.0.0-20250612000132-0ef82f21eade
	github.com/jezek/xgb v1.1.1
	github.com/nicksnyder/go-i18n/v2 v2.7.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.2
	github.com/srwiley/oksvg v0.0.0-20221011165216-be6e8873101c
	github.com/srwiley/rasterx v0.0.0-20220730225603-2ab79fcdd4ef
	github.com/tdewolff/parse/v2 v2.8.20
	github.com/tidwall/rtree v1.10.0
	github.com/twpayne/go-geos v0.17.0
	github.com/yuin/goldmark v1.7.8
	golang.design/x/clipboard v0.7.1
	golang.org/x/image v0.40.0
	golang.org/x/text v0.43.0
	pgregory.net/rapid v1.3.0
)

require (
	fyne.io/systray v1.11.1-0.20250603113521-ca66a66d8b58 // indirect
	github.com/BurntSushi/toml v1.6.0 // indirect
	github.com/fredbi/uri v1.1.1 // indirect
	github.com/fsnotify/fsnotify v1.9.0 // indirect
	github.com/fyne-io/gl-js v0.2.0 // indirect
	github.com/fyne-io/glfw-js v0.3.0 // indirect
	github.com/fyne-io/image v0.1.1 // indirect
	github.com/fyne-io/oksvg v0.2.0 // indirect
	github.com/go-gl/gl v0.0.0-20231021071112-07e5d0ea2e71 // indirect
	github.com/go-text/render v0.2.0 // indirect
	github.com/godbus/dbus/v5 v5.1.0 // indirect
	github.com/gonum/floats v0.0.0-20181209220543-c233463c7e82 // indirect
	github.com/gonum/internal v0.0.0-20181124074243-f884aa714029 // indirect
	github.com/hack-pad/go-indexeddb v0.3.2 // indirect
	github.com/hack-pad/safejs v0.1.0 // indirect
	github.com/jsummers/gobmp v0.0.0-20230614200233-a9de23ed2e25 // indirect
	github.com/nfnt/resize v0.0.0-20180221191011-83c6a9932646 // indirect
	github.com/rymdport/portal v0.4.2 // indirect
	github.com/stretchr/testify v1.12.1 // indirect
	github.com/tidwall/geoindex v1.7.0 // indirect
	go.yaml.in/yaml/v3 v3.0.5 // indirect
	golang.org/x/exp/shiny v0.0.0-20250606033433-dcc06ee1d476 // indirect
	golang.org/x/mobile v0.0.0-20250606033058-a2a15c67f36f // indirect
	golang.org/x/net v0.35.0 // indirect
	golang.org/x/sys v0.49.0 // indirect
)
