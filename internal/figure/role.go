package figure

import (
	"fmt"
	"image/color"
	"strings"
)

// Role is what a colour is for. Nothing in a drawing is told by colour alone.
type Role uint8

// The zero Role draws nothing.
const (
	None      Role = iota
	Ink            // marks, intervals, text that matters
	Soft           // other text
	Rule           // axes and thin rules
	Band           // ground of the allowed region
	HatchLine      // hatching of the allowed region
	Edge           // the bound
	Bar            // columns and bars
	Tint           // the interval around a line
	Core           // an inner interval
	Accent         // a second line
	Over           // outside the bound
	Paper          // ground
	roles          // how many there are
)

// Both palettes are the project's own: cool paper, ink, slate blue, one warm tone.
// Contrast against Paper is at least 4.5 for what carries text (Ink, Soft, Accent, Over) and 3 for Edge and Bar (WCAG 2.2, 1.4.3 and 1.4.11).
var (
	names = [roles]string{"none", "ink", "soft", "rule", "band", "hatch", "edge", "bar", "tint", "core", "accent", "over", "paper"}
	light = [roles]uint32{0, 0x1c242e, 0x5a646f, 0xcdd4dc, 0xe6ecf4, 0xc3d0e1, 0x5f789a, 0x6f7f93, 0xd2d8df, 0xaeb9c6, 0x22588f, 0xb4491f, 0xf5f7f9}
	dark  = [roles]uint32{0, 0xe3e7ec, 0x9aa4af, 0x36404a, 0x1b2532, 0x2f4056, 0x7c96b8, 0x7e8c9c, 0x303a45, 0x4d5b6a, 0x86b4e6, 0xef9a6b, 0x14181d}
)

// onPaper returns the colour of a role on white paper, for files that know no reader's wish.
func (r Role) onPaper() color.RGBA {
	c := light[r]
	if r == Paper {
		c = 0xffffff
	}
	return color.RGBA{uint8(c >> 16), uint8(c >> 8), uint8(c), 0xff}
}

// Variables returns the palettes as custom properties of :root, light and dark by the reader's wish, always light on paper.
func Variables() string {
	list := func(p [roles]uint32) string {
		var b strings.Builder
		for r := Ink; r < roles; r++ {
			fmt.Fprintf(&b, "--%s:#%06x;", names[r], p[r])
		}
		return b.String()
	}
	return ":root{color-scheme:light dark;" + list(light) + "}\n@media screen and (prefers-color-scheme:dark){:root{" + list(dark) + "}}\n"
}

// Stylesheet returns the rules for drawings that stand in a page which has Variables.
func Stylesheet() string {
	return rules(func(r Role) string { return "var(--" + names[r] + ")" })
}

// rules gives the two classes of each role: f- fills, s- strokes.
func rules(colour func(Role) string) string {
	var b strings.Builder
	for r := Ink; r < roles; r++ {
		fmt.Fprintf(&b, ".hw .f-%[1]s{fill:%[2]s}.hw .s-%[1]s{stroke:%[2]s}", names[r], colour(r))
	}
	return b.String() + "\n"
}

// standalone is the style inside a file of its own: literal colours, for readers without custom properties.
func standalone() string {
	literal := func(p [roles]uint32) string {
		return rules(func(r Role) string { return fmt.Sprintf("#%06x", p[r]) })
	}
	return literal(light) + "@media screen and (prefers-color-scheme:dark){" + literal(dark) + "}"
}
