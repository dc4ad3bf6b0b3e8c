package own

// set is a set of small numbers that is emptied in no time.
type set struct {
	at  []int32
	now int32
}

func newSet(n int) *set { return &set{make([]int32, n), 1} }

func (s *set) empty() { s.now++ }

// add reports whether i was not in the set yet.
func (s *set) add(i int32) bool {
	if s.at[i] == s.now {
		return false
	}
	s.at[i] = s.now
	return true
}
