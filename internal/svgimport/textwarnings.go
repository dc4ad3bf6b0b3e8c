package svgimport

// Ids about text; their sentences are in words/messages/text.en.json.
const (
	WarnFont         = "import-font"           // another font used; args: font, used
	WarnLetters      = "import-letters"        // some letters in another font; args: font, used, letters
	WarnLettersLost  = "import-letters-lost"   // no font has an outline for them; args: letters
	WarnText         = "import-text"           // on a path that is not there: left out
	WarnTextPastPath = "import-text-past-path" // letters past the path's ends left out
	WarnTextLong     = "import-text-long"      // cut short; args: limit
	WarnTextVertical = "import-text-vertical"  // set from left to right
	ErrLetters       = "import-too-much-text"  // args: limit
)
