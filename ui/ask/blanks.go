package ask

import (
	"encoding/json"
	"slices"

	"abut/geometry"
	"abut/internal/job"
	"abut/internal/workshop"
)

// Names of preferences.
const (
	prefBlank     = "blank-" // and the id of one that is known
	prefOwnBlanks = "blanks-own"
)

// blankName begins the ids of the known blanks' names.
const blankName = "ui-blank-"

// offeredBlank is one of the library: a thing that is often decorated, as the
// user left it, or one of the user's own.
type offeredBlank struct {
	// key names it in the preferences; an own one goes by its name.
	key string
	own bool
	job.Blank
}

// blanks is the library: the known ones first, then the user's own by name.
func (h *Host) blanks() []offeredBlank {
	var out []offeredBlank
	for _, known := range workshop.KnownBlanks() {
		o := offeredBlank{key: prefBlank + known.ID, Blank: known.Blank}
		kept := o.Blank
		if s := h.Prefs.String(o.key); s != "" && json.Unmarshal([]byte(s), &kept) == nil && usable(kept) {
			o.Blank = kept
		}
		o.Name, o.At = say(blankName+known.ID), geometry.Point{}
		out = append(out, o)
	}
	for _, b := range h.ownBlanks() {
		out = append(out, offeredBlank{key: b.Name, own: true, Blank: b})
	}
	return out
}

func usable(b job.Blank) bool {
	_, err := job.SetBlankShape(job.Job{}, &b)
	return err == nil
}

func (h *Host) ownBlanks() []job.Blank {
	var list []job.Blank
	if json.Unmarshal([]byte(h.Prefs.String(prefOwnBlanks)), &list) != nil {
		return nil
	}
	return slices.DeleteFunc(list, func(b job.Blank) bool { return b.Name == "" || !usable(b) })
}

// keep keeps what the user made of a blank of the library.
func (h *Host) keep(o offeredBlank) {
	o.At = geometry.Point{}
	if o.own {
		h.keepOwn(o.Blank)
		return
	}
	if text, err := json.Marshal(o.Blank); err == nil {
		h.Prefs.SetString(o.key, string(text))
	}
}

// keepOwn keeps a blank as one of the user's own, in place of one of that name.
func (h *Host) keepOwn(b job.Blank) {
	b.At = geometry.Point{}
	h.setOwnBlanks(append(h.ownBlanksBut(b.Name), b))
}

// forgetOwn takes an own blank out of the library.
func (h *Host) forgetOwn(name string) { h.setOwnBlanks(h.ownBlanksBut(name)) }

func (h *Host) ownBlanksBut(name string) []job.Blank {
	return slices.DeleteFunc(h.ownBlanks(), func(b job.Blank) bool { return b.Name == name })
}

func (h *Host) setOwnBlanks(list []job.Blank) {
	slices.SortStableFunc(list, func(a, b job.Blank) int {
		if a.Name < b.Name {
			return -1
		}
		return 1
	})
	if text, err := json.Marshal(list); err == nil {
		h.Prefs.SetString(prefOwnBlanks, string(text))
	}
}
