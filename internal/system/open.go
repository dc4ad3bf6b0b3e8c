package system

import (
	"net/url"
	"strings"
)

// FileURL returns the address (RFC 8089) by which the desktop shows a folder, or opens a
// file, at an absolute path.
func (s System) FileURL(path string) *url.URL {
	if s.Kind != windows {
		return &url.URL{Scheme: "file", Path: path}
	}
	path = strings.ReplaceAll(path, `\`, "/")
	path = strings.TrimPrefix(path, "//?/") // the long form of a path is none for others
	if rest, ok := strings.CutPrefix(path, "UNC/"); ok {
		path = "//" + rest
	}
	if rest, ok := strings.CutPrefix(path, "//"); ok { // a folder of another computer
		host, rest, _ := strings.Cut(rest, "/")
		return &url.URL{Scheme: "file", Host: host, Path: "/" + rest}
	}
	return &url.URL{Scheme: "file", Path: "/" + path} // of a drive
}
