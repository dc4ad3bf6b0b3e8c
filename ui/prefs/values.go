package prefs

// What the toolkit asks of a store: values of four kinds and lists of them. One
// that is not there, or of another kind, is the fallback; without one it is zero.

// Bool returns a value.
func (s *Store) Bool(name string) bool { return get(s, name, false) }

// BoolWithFallback returns a value.
func (s *Store) BoolWithFallback(name string, fallback bool) bool { return get(s, name, fallback) }

// SetBool sets a value.
func (s *Store) SetBool(name string, v bool) { put(s, name, v) }

// BoolList returns a value.
func (s *Store) BoolList(name string) []bool { return get(s, name, []bool{}) }

// BoolListWithFallback returns a value.
func (s *Store) BoolListWithFallback(name string, fallback []bool) []bool {
	return get(s, name, fallback)
}

// SetBoolList sets a value.
func (s *Store) SetBoolList(name string, v []bool) { put(s, name, v) }

// Float returns a value.
func (s *Store) Float(name string) float64 { return get[float64](s, name, 0) }

// FloatWithFallback returns a value.
func (s *Store) FloatWithFallback(name string, fallback float64) float64 {
	return get(s, name, fallback)
}

// SetFloat sets a value.
func (s *Store) SetFloat(name string, v float64) { put(s, name, v) }

// FloatList returns a value.
func (s *Store) FloatList(name string) []float64 { return get(s, name, []float64{}) }

// FloatListWithFallback returns a value.
func (s *Store) FloatListWithFallback(name string, fallback []float64) []float64 {
	return get(s, name, fallback)
}

// SetFloatList sets a value.
func (s *Store) SetFloatList(name string, v []float64) { put(s, name, v) }

// Int returns a value.
func (s *Store) Int(name string) int { return get(s, name, 0) }

// IntWithFallback returns a value.
func (s *Store) IntWithFallback(name string, fallback int) int { return get(s, name, fallback) }

// SetInt sets a value.
func (s *Store) SetInt(name string, v int) { put(s, name, v) }

// IntList returns a value.
func (s *Store) IntList(name string) []int { return get(s, name, []int{}) }

// IntListWithFallback returns a value.
func (s *Store) IntListWithFallback(name string, fallback []int) []int { return get(s, name, fallback) }

// SetIntList sets a value.
func (s *Store) SetIntList(name string, v []int) { put(s, name, v) }

// String returns a value.
func (s *Store) String(name string) string { return get(s, name, "") }

// StringWithFallback returns a value.
func (s *Store) StringWithFallback(name string, fallback string) string {
	return get(s, name, fallback)
}

// SetString sets a value.
func (s *Store) SetString(name string, v string) { put(s, name, v) }

// StringList returns a value.
func (s *Store) StringList(name string) []string { return get(s, name, []string{}) }

// StringListWithFallback returns a value.
func (s *Store) StringListWithFallback(name string, fallback []string) []string {
	return get(s, name, fallback)
}

// SetStringList sets a value.
func (s *Store) SetStringList(name string, v []string) { put(s, name, v) }
