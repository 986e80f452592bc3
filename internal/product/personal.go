package product

import (
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"
)

// Texts that look personal: mail addresses, telephone numbers, the postcode with its place, streets, letters.
var (
	dateText   = regexp.MustCompile(`^\d{1,4}[./-]\d{1,2}[./-]\d{1,4}([ T]\d{1,2}:\d{2}(:\d{2})?)?$`)
	mailText   = regexp.MustCompile(`[\pL\d._%+-]+@[\pL\d-]+(\.[\pL\d-]+)+`)
	phoneText  = regexp.MustCompile(`(^|[^\d\w.,-])(\+|00|\(0|0)[\d][\d ()/.-]{6,}\d($|[^\d\w])`)
	placeText  = regexp.MustCompile(`\b\d{5}(-\d{4})? \p{Lu}\p{Ll}+|\b[A-Z]{1,2}\d[A-Z\d]? \d[A-Z]{2}\b|, [A-Z]{2} \d{5}\b|\b\d{4} [A-Z]{2} \p{Lu}\p{Ll}+`)
	streetText = regexp.MustCompile(`(?i)\b\d+[a-z]? [\pL ]+ (street|st\.|road|rd\.|avenue|ave\.|lane|drive)\b|\b\pL*(stra(ß|ss)e|str\.|weg|gasse|platz) \d+|\brue [\pL ]+\d*`)
	letterText = regexp.MustCompile(`(?i)^(dear|hello|hi|hey)\b[ ,!]|\b(kind|best|warm) regards\b|\byours (sincerely|faithfully)\b|\bthank you\b|\b(mr|mrs|ms|dr)\.? \p{Lu}`)
)

const longText = 160 // characters; what is longer was written to somebody

// Personal says what personal thing a text looks like, such as "a mail address"; "" if it is harmless.
//
//	numbered  the text is a number that was given to a thing, such as a serial: no telephone number
func Personal(text string, numbered bool) string {
	if len(text) < 5 {
		return ""
	}
	switch {
	case strings.Contains(text, "@") && mailText.MatchString(text):
		return "a mail address"
	case !numbered && digitsIn(text) >= 7 && phoneText.MatchString(text) && !dateText.MatchString(text):
		return "a telephone number"
	case numbered:
		return ""
	case len(text) > longText && len([]rune(text)) > longText:
		return "a message"
	case mayMatch(text, letterHints) && letterText.MatchString(text):
		return "a message"
	case digitsIn(text) > 0 && (digitsIn(text) > 1 && capital(text) && placeText.MatchString(text) || mayMatch(text, streetHints) && streetText.MatchString(text)):
		return "an address"
	}
	return ""
}

// One of these stands in whatever letterText, and streetText, match: they are looked for first, which is far faster.
var (
	letterHints = strings.Fields("dear hello hi hey regards yours thank mr ms dr")
	streetHints = strings.Fields("street st. road rd. ave lane drive stra str. weg gasse platz rue")
)

func mayMatch(text string, hints []string) bool {
	text = strings.ToLower(text)
	return slices.ContainsFunc(hints, func(h string) bool { return strings.Contains(text, h) })
}

// capital reports whether a text may have a capital letter.
func capital(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] >= 'A' && text[i] <= 'Z' || text[i] >= utf8.RuneSelf {
			return true
		}
	}
	return false
}

func digitsIn(text string) (n int) {
	for i := 0; i < len(text); i++ {
		if text[i] >= '0' && text[i] <= '9' {
			n++
		}
	}
	return n
}
