package window

import (
	"time"

	"abut/ui/controls"
)

// The headless driver has no event thread that hints could wait for.
func init() { controls.HintAfter = time.Hour }
