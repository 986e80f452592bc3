package page

import (
	"io"
	"strings"

	"hindwatt/internal/figure"
)

const verdictColumns = 13 // "no evidence" and two spaces

// Text writes the promises for a terminal of width columns: what matters most, the key, then each verdict with its label, strip and reasons.
// The last line counts each verdict. It fails if w does.
func (s Site) Text(w io.Writer, width int, style figure.TextStyle) error {
	out := newPaper(width, style)
	out.put("", s.Product, style.Bold)
	for _, line := range []string{s.Subtitle, s.Invented} {
		if line != "" {
			out.put("", line, style.Soft)
		}
	}
	out.blank()
	for _, p := range s.Warnings() {
		out.put("", "warning: "+p.Label+": "+p.Verdict, style.Warm)
	}
	for _, n := range s.Cautions {
		out.note("caution", n, plain)
	}
	out.blank()
	out.key()
	for _, p := range s.Promises {
		out.blank()
		out.promise(p)
	}
	out.blank()
	if len(s.Advice) > 0 {
		for _, n := range s.Advice {
			out.note("worth a look", n, plain)
		}
		out.blank()
	}
	if s.Made != "" {
		out.put("", s.Made, style.Soft)
	}
	out.put("", s.Count(), plain)
	_, err := io.WriteString(w, out.String())
	return err
}

// key explains the signs, as many on a line as have room.
func (p *paper) key() {
	line := ""
	for _, k := range figure.Key() {
		entry := p.style.Shorten(k.Sign(p.style)+" "+k.Text, p.width)
		if line != "" && figure.Columns(line)+3+figure.Columns(entry) > p.width {
			p.line(p.style.Soft(line))
			line = ""
		}
		if line != "" {
			line += "   "
		}
		line += entry
	}
	p.line(p.style.Soft(line))
}

// promise writes the verdict beside the label, or above it where the terminal is narrow.
func (p *paper) promise(q Promise) {
	verdict, label := q.Verdict, q.Label
	if q.Safety {
		label += " (safety)"
	}
	look := p.style.Bold
	if q.Verdict == NotMet {
		look = p.style.Warm
	}
	indent := verdictColumns
	if p.width < 60 {
		indent = 2
		p.line(look(verdict))
		p.put("  ", label, p.style.Bold)
	} else {
		p.put(look(verdict)+strings.Repeat(" ", indent-len(verdict)), label, p.style.Bold)
	}
	margin := strings.Repeat(" ", indent)
	for _, d := range q.Disagree {
		p.put(margin, "! "+d, p.style.Warm)
	}
	if q.Strip != nil {
		p.block(indent, q.Strip.Text(p.width-indent, p.style))
		p.put(margin, q.Axis, p.style.Soft)
	}
	for _, line := range append([]string{q.StandsOn}, q.Why...) {
		if line != "" {
			p.put(margin, line, plain)
		}
	}
	for _, l := range q.Lacks {
		p.lack(margin, l)
	}
}
