package figure

// KeyEntry is one sign of the strips with its meaning.
type KeyEntry struct {
	Drawing Drawing
	Text    string
	Sign    func(TextStyle) string // the same sign in a terminal
}

// Key returns the signs that strips are made of.
func Key() []KeyEntry {
	entry := func(width float64, text string, draw func(*Drawing), sign func(signs) rune) KeyEntry {
		d := Drawing{Width: width, Height: 16, Title: text}
		draw(&d)
		return KeyEntry{d, text, func(t TextStyle) string { return string(sign(t.signs())) }}
	}
	mark := func(k MarkKind, carried bool) func(*Drawing) {
		return func(d *Drawing) { d.symbol(k, carried, Point{8, 8}, Ink) }
	}
	interval := func(over bool) func(*Drawing) {
		return func(d *Drawing) { d.line(0, 8, 26, 8, strokeOf(over)) }
	}
	return []KeyEntry{
		entry(16, "calculated", mark(Calculated, false), func(s signs) rune { return s.ring }),
		entry(16, "measured", mark(Measured, false), func(s signs) rune { return s.square }),
		entry(16, "measured, carried over by the model", mark(Measured, true), func(s signs) rune { return s.hollow }),
		entry(16, "recorded", mark(Recorded, false), func(s signs) rune { return s.triangle }),
		entry(26, "allowed", func(d *Drawing) { d.band(0, 26, 1, 15) }, func(s signs) rune { return s.band }),
		entry(26, "interval, 95 %", interval(false), func(s signs) rune { return s.within }),
		entry(26, "outside the bound", interval(true), func(s signs) rune { return s.over }),
	}
}
