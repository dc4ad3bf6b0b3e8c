package words

import (
	"regexp"
	"strings"
	"testing"
)

// One word for a thing: these name something that another word stands for, or
// something that nobody outside should have to know. What a person types on the
// command line keeps its name there: --drawer, --allow-stacked.
var strangers = map[string][]struct{ word, instead string }{
	"en": {
		{`\bparts?\b`, "piece, or shape"}, {`\bdrawers?\b`, "My sheets"}, {`\bclearance\b`, "gap"}, {`\bart\b`, "picture, or design"},
		{`\bdropped?\b`, "left bare"}, {`\bgiven? (to|away)\b`, "merge into"}, {`\b(low-tack film|transfer tape)\b`, "transfer film"},
		{`\bfitted\b`, "Pieces"}, {`\bshall\b`, "should"}, {`^That is no\b`, "what is wrong"}, {`\bseparations?\b`, "sheet"}, {`\bkerf\b`, "gap"},
	},
	"de": {
		{`\bVorrat`, "Meine Bögen"}, {`\bTrägerfolie`, "Trägerpapier"}, {`\bKlebefilm`, "Transferfolie"}, {`\bDruckbereich`, "sicherer Bereich"},
		{`übereinander liegen`, "übereinanderliegen"}, {`\bEingepasst\b`, "Teile"}, {`\bFarbübertragung`, "Farbtransfer"}, {`\bAnschneiden\b`, "Kiss-Cut"},
	},
}

// codes are for programs: line numbers, colour codes and differences of colours
// stay out of what is on screen and in print.
var codes = regexp.MustCompile(`ΔE|\.line\b|\.delta\b`)

func TestSentences_KeepToTheGlossary(t *testing.T) {
	flag := regexp.MustCompile(`--[a-z-]+`)
	for tag, list := range strangers {
		all := sentences(t, tag)
		for _, x := range list {
			pattern := regexp.MustCompile(`(?i)` + x.word)
			for id, forms := range all {
				for _, text := range forms {
					if pattern.MatchString(flag.ReplaceAllString(text, "")) {
						t.Errorf("%s: %q says %q for what is called %s: %s", tag, id, pattern.FindString(text), x.instead, text)
					}
				}
			}
		}
		for id, forms := range all {
			for _, text := range forms {
				if !strings.HasPrefix(id, "cli-") && codes.MatchString(text) {
					t.Errorf("%s: %q tells a code: %s", tag, id, text)
				}
			}
		}
	}
}
