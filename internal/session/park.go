package session

// Park puts everything down, so that the program can end at any moment: what is
// being made becomes a step, what was asked for is worked out, what is being saved
// is saved, and work that no file holds is kept to be offered at the next start.
// All else that goes on is given up: mends, plans, searches, an export. parked is
// called once no file is being written any more; what is refused meanwhile is given
// up, too.
func (s *Session) Park(parked func()) {
	s.parked = append(s.parked, parked)
	s.keepDraft()
	s.park()
}

// park goes on with what Park began, each time something has ended.
func (s *Session) park() {
	if len(s.parked) == 0 || s.auto.busy {
		return
	}
	if s.history != nil && s.auto.wrote != s.At() {
		s.auto.now() // even before what was asked for: it may take long
		if s.auto.busy {
			return
		}
	}
	if len(s.coming) > 0 {
		return
	}
	writing := false
	for _, t := range s.tasks {
		if !t.lasting {
			t.Stop()
		}
		writing = writing || t.writes
	}
	if !writing {
		parked := s.parked
		s.parked = nil
		for _, f := range parked {
			f()
		}
	}
}
