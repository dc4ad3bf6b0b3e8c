package planar

import "sync"

// chunks is how many parts a stage is worked in side by side. Results are put
// together in order, so they do not depend on it, nor on who is done first.
const chunks = 2

// worthSplitting is how many items make starting a second worker pay.
const worthSplitting = 4096

// inChunks calls f for consecutive ranges that together are 0 … n−1, at the same
// time, and returns the first range's error, if any.
func inChunks(n int, f func(chunk, lo, hi int) error) error {
	if n < worthSplitting {
		return f(0, 0, n)
	}
	var wg sync.WaitGroup
	var errs [chunks]error
	for c := range chunks {
		wg.Go(func() { errs[c] = f(c, n*c/chunks, n*(c+1)/chunks) })
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
