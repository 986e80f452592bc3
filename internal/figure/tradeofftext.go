package figure

import "strings"

// Text writes the trade-off as a table of its points, each path below its name; signs tell the product's choice and the front.
func (t Tradeoff) Text(width int, style TextStyle) []string {
	s, ok := t.scene()
	out := []string{style.Shorten(t.Title, width)}
	if !ok {
		return append(out, "no data")
	}
	out = append(out, style.Shorten("x: "+axisName(t.X.Name, t.X.unit())+t.better(t.MoreX), width), style.Shorten("y: "+axisName(t.Y.Name, t.Y.unit())+t.better(t.MoreY), width))
	for _, p := range s.paths {
		out = append(out, "")
		if name := s.pathName(p); name != "" {
			out = append(out, style.Shorten(minusASCII(name), width))
		}
		rows, wide := [][3]string{}, [3]int{}
		for _, q := range p.points {
			sign := "  "
			if q.chosen {
				sign = "> "
			}
			row := [3]string{sign + style.Show(minusASCII(q.text)), s.x.say(q.at.X, ""), s.y.say(q.at.Y, "")}
			if s.onFront(p, q) {
				row[2] += " *"
			}
			for i := range row {
				wide[i] = max(wide[i], Columns(strings.TrimSuffix(row[i], " *")))
			}
			rows = append(rows, row)
		}
		for _, r := range rows {
			y, star := strings.CutSuffix(r[2], " *")
			line := Pad(r[0], wide[0], false) + "  " + Pad(r[1], wide[1], true) + "  " + Pad(y, wide[2], true)
			if star {
				line += " *"
			}
			out = append(out, style.Shorten(line, width))
		}
	}
	if s.chosen {
		out = append(out, "", style.Shorten("> the product's choice", width))
	}
	if len(s.stairs()) > 0 {
		out = append(out, style.Shorten("* not bettered on both", width))
	}
	return out
}
