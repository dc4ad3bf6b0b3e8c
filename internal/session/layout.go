package session

import "abut/internal/workshop"

// withOffcuts has what is laid out lie on what is left of the user's own sheets first.
func (s *Session) withOffcuts(o *workshop.WriteOptions) (err error) {
	if s.Job().Settings.Layout.On() {
		o.Layout.Drawer, err = s.Drawer()
	}
	return err
}
