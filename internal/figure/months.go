package figure

// monthNames are those of a calendar's heads.
var monthNames = [12]string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// monthStart returns the day of the year, 0 = 1 January, on which month 0..12 begins (12: the next year).
func monthStart(month int, leap bool) int {
	day := [13]int{0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365}[month]
	if leap && month > 1 {
		day++
	}
	return day
}

// part is a stretch of days with a name.
type part struct {
	name     string
	from, to int // days, to exclusive
}

// calendar cuts days first..last of a year without a name into months, or more than a year into at most twelve parts of equal length.
func calendar(first, last int) (parts []part, monthly bool) {
	if first < 0 || last > 366 {
		long := (last-first+11)/12 + 0
		for from := first; from < last; from += long {
			parts = append(parts, part{number(float64(from), 0), from, min(last, from+long)})
		}
		return parts, false
	}
	for m := range 12 {
		from, to := max(first, monthStart(m, last == 366)), min(last, monthStart(m+1, last == 366))
		if from < to {
			parts = append(parts, part{monthNames[m], from, to})
		}
	}
	return parts, true
}

// monthsBelow draws a tick where each part of the year begins and its name in its middle, as many as have room, and returns the base line of the names.
func (d *Drawing) monthsBelow(a axis, first, last int, y float64) float64 {
	parts, monthly := calendar(first, last)
	var names []label
	for _, p := range parts {
		x := a.at(float64(p.from))
		d.line(x, y, x, y+4, Stroke{Role: Soft, Width: 1})
		if monthly {
			x = (x + a.at(float64(p.to))) / 2
		}
		names = append(names, label{x, textWidth(p.name, small), p.name})
	}
	for by := 1; by <= 12; by++ {
		var kept []label
		for i := 0; i < len(names); i += by {
			l := names[i]
			l.x = max(l.width/2, min(d.Width-l.width/2, l.x))
			if clear(l, kept, 4) {
				kept = append(kept, l)
			}
		}
		if len(kept) == (len(names)+by-1)/by {
			for _, l := range kept {
				d.write(l.x, y+15, small, Soft, Middle, l.text)
			}
			break
		}
	}
	return y + 15
}
