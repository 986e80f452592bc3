package figure

import (
	"strconv"
	"strings"
)

// SVG returns the drawing as a file that stands alone: literal colours, light or dark by the reader's wish.
func (d *Drawing) SVG() []byte {
	return []byte(`<?xml version="1.0" encoding="UTF-8"?>` + "\n" + d.svg(standalone()))
}

// Inline returns the drawing as an element for a page that has Variables and Stylesheet. It holds no identifier, so that
// any number of drawings can stand in one page.
func (d *Drawing) Inline() string { return d.svg("") }

func (d *Drawing) svg(style string) string {
	w, class := &svgSink{}, "hw"
	if d.Own {
		class += " own"
	}
	w.add(`<svg class="`, class, `" xmlns="http://www.w3.org/2000/svg" role="img" width="`, fixed(d.Width), `" height="`, fixed(d.Height),
		`" viewBox="0 0 `, fixed(d.Width), ` `, fixed(d.Height),
		`" fill="none" stroke-linejoin="round" font-family="Liberation Sans,Arial,Helvetica,sans-serif">`, "\n")
	if style != "" {
		w.add("<style>", style, "</style>\n")
	}
	w.add("<title>", escape(d.Title), "</title>")
	if d.Description != "" {
		w.add("<desc>", escape(d.Description), "</desc>")
	}
	w.add("\n")
	if style != "" { // the ground of a file is its own, that of a page the page's
		w.area(Area{Points: rectangle(0, 0, d.Width, d.Height), Fill: Paper})
	}
	for _, op := range d.Ops {
		op.send(w)
	}
	w.add("</svg>\n")
	return w.String()
}

type svgSink struct{ strings.Builder }

func (w *svgSink) add(parts ...string) {
	for _, p := range parts {
		w.WriteString(p)
	}
}

func (w *svgSink) lines(paths [][]Point, s Stroke) {
	if s.Role == None {
		return
	}
	w.add(`<path`)
	w.style(None, s)
	w.add(` d="`)
	for _, p := range paths {
		w.path(p)
	}
	w.add("\"/>\n")
}

func (w *svgSink) area(a Area) {
	w.add(`<path`)
	w.style(a.Fill, a.Outline)
	w.add(` d="`)
	w.path(a.Points)
	w.add("Z\"/>\n")
}

func (w *svgSink) circle(c Circle) {
	w.add(`<circle`)
	w.style(c.Fill, c.Outline)
	w.add(` cx="`, fixed(c.Centre.X), `" cy="`, fixed(c.Centre.Y), `" r="`, fixed(c.R), "\"/>\n")
}

func (w *svgSink) text(t Text) {
	w.add(`<text`)
	w.style(t.Role, Stroke{})
	w.add(` x="`, fixed(t.At.X), `" y="`, fixed(t.At.Y), `" font-size="`, fixed(t.Size), `"`)
	switch t.Anchor {
	case Middle:
		w.add(` text-anchor="middle"`)
	case End:
		w.add(` text-anchor="end"`)
	}
	w.add(">", escape(t.Text), "</text>\n")
}

func (w *svgSink) style(fill Role, s Stroke) {
	var class []string
	if fill != None {
		class = append(class, "f-"+names[fill])
	}
	if s.Role != None {
		class = append(class, "s-"+names[s.Role])
	}
	w.add(` class="`, strings.Join(class, " "), `"`)
	if s.Role != None {
		w.add(` stroke-width="`, fixed(s.Width), `"`)
		if s.Dash > 0 {
			w.add(` stroke-dasharray="`, fixed(s.Dash), `"`)
		}
	}
}

func (w *svgSink) path(points []Point) {
	command := "M"
	for _, p := range points {
		w.add(command, fixed(p.X), " ", fixed(p.Y))
		command = "L"
	}
}

// fixed writes a length with at most two decimals, never -0.
func fixed(v float64) string {
	s := strconv.FormatFloat(px(v), 'f', 2, 64)
	s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// escape makes a text safe in XML.
func escape(s string) string { return escapes.Replace(clean(s)) }

// clean makes a text valid UTF-8 without control characters, which XML does not hold and a font does not show.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 || r == 0xfffe || r == 0xffff {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}
