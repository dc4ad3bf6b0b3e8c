package window

import "abut/internal/words"

// say returns a sentence; pairs are its placeholders and what fills them.
func say(id string, pairs ...any) string { return words.Say(id, pairs...) }
