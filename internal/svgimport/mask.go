package svgimport

// applyMask takes account of the element's mask.
func (im *importer) applyMask(n *node, st *style, in *scope) error {
	if st.own.mask == "" {
		return nil
	}
	im.warn(WarnMask, n)
	return nil
}
