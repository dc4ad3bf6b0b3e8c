package job

import "slices"

// HasDoubtfulClip reports whether a layer has a clip that can be ignored or be
// heeded again, and whether it is ignored now.
func HasDoubtfulClip(l Layer) (has, ignored bool) {
	for _, s := range Shapes(l.Content) {
		ignored = ignored || len(s.Ignored) > 0
		has = has || len(s.Ignored) > 0 || slices.ContainsFunc(s.Clips, isDoubtful)
	}
	return has, ignored
}

func isDoubtful(c *Clip) bool { return c.Doubtful }

// IgnoreClips says whether the doubtful clips of layers are ignored, so that
// what they hide shows. Other clips stay.
func IgnoreClips(j Job, ids []LayerID, on bool) (Job, error) {
	return editLayers(j, ids, func(_ *Item, l *Layer) error {
		l.ignoreClips(on)
		return nil
	})
}

func (l *Layer) ignoreClips(on bool) {
	o, ok := l.Content.(Outlines)
	if has, _ := HasDoubtfulClip(*l); !ok || !has {
		return
	}
	shapes := slices.Clone(o.Shapes)
	for i := range shapes {
		s := &shapes[i]
		all := slices.Concat(s.Ignored, s.Clips) // a band stays the last
		s.Clips, s.Ignored = all, nil
		if on {
			s.Clips, s.Ignored = nil, nil
			for _, c := range all {
				if c.Doubtful {
					s.Ignored = append(s.Ignored, c)
				} else {
					s.Clips = append(s.Clips, c)
				}
			}
		}
	}
	l.Content = Outlines{shapes}
}
