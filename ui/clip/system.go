//go:build windows || darwin

package clip

import (
	"context"

	"golang.design/x/clipboard"

	"abut/geometry/parallel"
)

// Picture returns the picture on the clipboard as the bytes of its file, nil where
// there is none.
func Picture(ctx context.Context) ([]byte, error) {
	return parallel.Aside(ctx, func() ([]byte, error) {
		if err := clipboard.Init(); err != nil {
			return nil, err
		}
		return clipboard.Read(clipboard.FmtImage), nil
	})
}
