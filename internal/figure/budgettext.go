package figure

import (
	"math"
	"strings"
)

// Text writes the budget: name, bar, share and standard uncertainty on one line each; in a narrow terminal the name has its own line.
func (b Budget) Text(width int, style TextStyle) []string {
	lines := b.Sorted()
	values := contributions(lines, b.Unit)
	name, value, most := 0, 0, 0.0
	for i, l := range lines {
		name = max(name, Columns(style.Show(l.Name)))
		value = max(value, Columns(style.Show(values[i])))
		most = max(most, math.Abs(l.Share))
	}
	const share = 6 // columns of "-99.9 %", less its sign
	beside := width >= 50
	name = min(name, width-value-share-26)
	room := min(40, width-name-value-share-6)
	if !beside {
		room = max(1, width-value-share-6)
	}
	out := []string{style.Shorten(b.Title, width), ""}
	for i, l := range lines {
		head := "  "
		if beside {
			head = Pad(style.Shorten(l.Name, name), name, false) + "  "
		} else {
			out = append(out, style.Shorten(l.Name, width))
		}
		out = append(out, head+Pad(textBar(l.Share, most, room, style), room, false)+
			"  "+Pad(percent(l.Share), share, true)+"  "+Pad(style.Show(values[i]), value, true))
	}
	return out
}

// textBar is solid, and hollow where a share is negative.
func textBar(share, most float64, room int, style TextStyle) string {
	fill := "█"
	switch {
	case share < 0 && style.ASCII:
		fill = ":"
	case share < 0:
		fill = "░"
	case style.ASCII:
		fill = "#"
	}
	if most == 0 {
		return ""
	}
	return strings.Repeat(fill, int(math.Round(float64(room)*math.Abs(share)/most)))
}
