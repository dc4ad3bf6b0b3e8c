package words

// causes are what Unix-like systems say, in English whatever the language, and the ids of
// the sentences that say the same. Windows says it in its own language.
var causes = map[string]string{
	"permission denied":         "cause-permission",
	"operation not permitted":   "cause-permission",
	"no space left on device":   "cause-full",
	"disk quota exceeded":       "cause-quota",
	"read-only file system":     "cause-read-only",
	"no such file or directory": "cause-missing",
	"not a directory":           "cause-no-folder",
	"is a directory":            "cause-folder",
	"file name too long":        "cause-name-long",
	"input/output error":        "cause-broken",
	"file exists":               "cause-exists",
}

// cause says in the language what the system said.
func (w *Words) cause(detail string) string {
	if id, known := causes[detail]; known {
		return w.Say(id, nil)
	}
	return detail
}
