package figure

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
	"golang.org/x/text/width"
)

// TextStyle says what a terminal can show.
type TextStyle struct {
	ASCII  bool // only the 95 printable ASCII characters
	Colour bool // SGR colour sequences
}

// Show returns a text as this terminal can show it: in ASCII a spelling that means the same, and never a control character.
func (t TextStyle) Show(s string) string {
	if t.ASCII {
		return ascii(s)
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
}

// SGR numbers of the two colours that a strip needs, readable on light and dark ground, and of weights.
const (
	sgrBand = "38;5;67"  // slate blue
	sgrOver = "38;5;166" // warm
	sgrBold = "1"
	sgrSoft = "2"
)

// Bold, Soft and Warm set a text apart where the terminal has colour. What they say is always said in words too.
func (t TextStyle) Bold(s string) string { return t.sgr(sgrBold, s) }

// Soft is for what matters less.
func (t TextStyle) Soft(s string) string { return t.sgr(sgrSoft, s) }

// Warm is for what lies outside a bound.
func (t TextStyle) Warm(s string) string { return t.sgr(sgrBold+";"+sgrOver, s) }

func (t TextStyle) sgr(codes, s string) string {
	if !t.Colour || s == "" {
		return s
	}
	return "\x1b[" + codes + "m" + s + "\x1b[0m"
}

// spellings are the ASCII spellings; those of units are what the folder's files accept.
var spellings = strings.NewReplacer(
	"−", "-", "–", "-", "—", "-", "±", "+-", "×", "x", "·", "*", "°C", "degC", "°", "deg", "Ω", "ohm", "Ω", "ohm", "µ", "u", "μ", "u",
	"²", "2", "³", "3", "≤", "<=", "≥", ">=", "≈", "~", "≠", "!=", "→", "->", "←", "<-", "√", "sqrt", "∞", "infinity", "∑", "sum ", "∂", "d",
	"…", "...", "“", `"`, "”", `"`, "‘", "'", "’", "'", "\u00a0", " ", "\u202f", " ", "\u2009", " ", "€", "EUR", "½", "1/2", "⁻", "^-", "ß", "ss",
	"α", "alpha", "β", "beta", "γ", "gamma", "Δ", "delta ", "δ", "delta", "ε", "eps", "η", "eta", "θ", "theta", "κ", "kappa", "λ", "lambda",
	"ν", "nu", "π", "pi", "ρ", "rho", "Σ", "sum ", "σ", "sigma", "τ", "tau", "Φ", "Phi", "φ", "phi", "χ", "chi", "ω", "omega", "ŷ", "y^",
)

func ascii(s string) string {
	s = norm.NFKD.String(spellings.Replace(strings.ToValidUTF8(s, "?")))
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.Is(unicode.Mn, r):
			return -1
		case unicode.IsControl(r):
			return ' '
		case r > '~':
			return '?'
		}
		return r
	}, s)
}

// Columns returns how many columns of a terminal a text takes: 0 for combining marks and colour sequences, 2 for wide East Asian characters, else 1.
func Columns(s string) int {
	n, skip := 0, false
	for _, r := range s {
		switch {
		case r == '\x1b':
			skip = true
		case skip:
			skip = r != 'm'
		case unicode.Is(unicode.Mn, r) || unicode.IsControl(r):
		default:
			if k := width.LookupRune(r).Kind(); k == width.EastAsianWide || k == width.EastAsianFullwidth {
				n++
			}
			n++
		}
	}
	return n
}

// Pad fills a text with spaces to a number of columns; right puts them before it.
func Pad(s string, columns int, right bool) string {
	fill := strings.Repeat(" ", max(0, columns-Columns(s)))
	if right {
		return fill + s
	}
	return s + fill
}

// Cut shortens a text without colour to a number of columns.
func Cut(s string, columns int) string {
	n := 0
	for i, r := range s {
		if n += Columns(string(r)); n > columns {
			return s[:i]
		}
	}
	return s
}

// Shorten shows a text in at most so many columns, with an ellipsis where it was cut.
func (t TextStyle) Shorten(s string, columns int) string {
	if s = t.Show(s); Columns(s) <= columns {
		return s
	}
	dots := t.Show("…")
	return strings.TrimRight(Cut(s, columns-Columns(dots)), " ,;") + dots
}

// breaks reports whether a line may end at a rune: at white space, but not at a no-break space.
func breaks(r rune) bool { return unicode.IsSpace(r) && r != '\u00a0' && r != '\u202f' }

// Wrap breaks a text without colour into lines of at most so many columns, at spaces where it can, else after a sign such as a full stop.
// It returns at least one line.
func Wrap(s string, columns int) []string {
	columns = max(columns, 1)
	var lines []string
	line := ""
	flush := func() { lines, line = append(lines, line), "" }
	for _, word := range strings.FieldsFunc(s, breaks) {
		if line != "" && Columns(line)+1+Columns(word) > columns {
			flush()
		}
		for Columns(word) > columns {
			head := Cut(word, columns)
			if head == "" {
				break
			}
			if i := strings.LastIndexAny(head, "._/,-"); i > len(head)/3 {
				head = head[:i+1]
			}
			lines, word = append(lines, head), word[len(head):]
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line != "" || len(lines) == 0 {
		flush()
	}
	return lines
}
