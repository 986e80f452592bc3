package diagram

// symbols are those of IEC 60617 as far as it has one; everything else is a box.
var symbols = map[string]func(*pen){
	"resistor":   resistor,
	"wire":       wire,
	"track":      track,
	"contact":    contact,
	"diode":      diode,
	"schottky":   schottky,
	"mosfet":     func(p *pen) { mosfet(p, 1) },
	"p-mosfet":   func(p *pen) { mosfet(p, -1) },
	"fuse":       fuse,
	"clamp":      clamp,
	"capacitor":  capacitor,
	"thermistor": thermistor,
	"lamp":       lamp,
	"panel":      panel,
	"battery":    battery,
}

func resistor(p *pen) {
	p.leads(-11, 11)
	p.rectangle(11, 4.5)
}

// fuse: the line goes through.
func fuse(p *pen) {
	p.leads(-11, 11)
	p.lead(-11, 0, 11, 0)
	p.rectangle(11, 4.5)
}

// thermistor: a resistor that changes with temperature, not in proportion.
func thermistor(p *pen) {
	resistor(p)
	p.line(-12, 9, -7, 9, 9, -9)
}

// wire: a flexible conductor.
func wire(p *pen) {
	p.leads(-11, 11)
	p.arc(-8.25, 0, 2.75, 180, 360)
	p.arc(-2.75, 0, 2.75, 180, 0)
	p.arc(2.75, 0, 2.75, 180, 360)
	p.arc(8.25, 0, 2.75, 180, 0)
}

// track: a conductor on a board, thick.
func track(p *pen) {
	p.leads(-11, 11)
	p.filled(-11, -2, 11, -2, 11, 2, -11, 2)
}

// contact: socket and pin.
func contact(p *pen) {
	p.leads(-5, 7)
	p.arc(0, 0, 5, 100, 260)
	p.filled(-2, -1.8, 7, -1.8, 7, 1.8, -2, 1.8)
}

func triangle(p *pen) {
	p.outline(-6, -6, 6, 0, -6, 6)
}

func diode(p *pen) {
	p.leads(-6, 6)
	triangle(p)
	p.line(6, -6.5, 6, 6.5)
}

func schottky(p *pen) {
	p.leads(-6, 6)
	triangle(p)
	p.line(3, -4.5, 3, -6.5, 6, -6.5, 6, 6.5, 9, 6.5, 9, 4.5)
}

// clamp: a breakdown diode. It stands with its cathode, the bar, at the positive end, which is the first.
func clamp(p *pen) {
	p.leads(-6, 6)
	p.outline(6, -6, -6, 0, 6, 6)
	p.line(-3, -6.5, -6, -6.5, -6, 6.5)
}

func capacitor(p *pen) {
	p.leads(-2.5, 2.5)
	p.thick(-2.5, -8.5, -2.5, 8.5)
	p.thick(2.5, -8.5, 2.5, 8.5)
}

func lamp(p *pen) {
	const r = 8.0
	p.leads(-r, r)
	p.circle(0, 0, r)
	p.line(-r*0.707, -r*0.707, r*0.707, r*0.707)
	p.line(-r*0.707, r*0.707, r*0.707, -r*0.707)
}

// mosfet: enhancement type with its body diode; channel 1 is n, -1 is p. Drain is the first pin, source the second.
func mosfet(p *pen, channel float64) {
	const ch, gate = -6.5, -10.0
	p.line(0, p.gate, 0, gate)
	p.line(-8, gate, 8, gate)
	for _, u := range []float64{-7, 0, 7} {
		p.thick(u-2.6, ch, u+2.6, ch)
	}
	p.lead(p.first, 0, -7, 0, -7, ch)
	p.lead(p.second, 0, 7, 0, 7, ch)
	p.line(0, ch, 0, 0, 7, 0)
	if channel > 0 {
		p.filled(0, ch+1, -2.2, ch+5, 2.2, ch+5)
	} else {
		p.filled(0, -0.5, -2.2, ch+2, 2.2, ch+2)
	}
	p.line(-13, 0, -13, 9, 13, 9, 13, 0)
	p.filled(3.6*channel, 9-4, -3.6*channel, 9, 3.6*channel, 9+4)
	p.line(-3.6*channel, 9-4.2, -3.6*channel, 9+4.2)
}

func battery(p *pen) {
	p.leads(-7.5, 7.5)
	for _, u := range []float64{-7.5, 2.5} {
		p.line(u, -11, u, 11)
		p.thick(u+5, -5.5, u+5, 5.5)
	}
	p.line(-2.5, 0, 2.5, 0)
}

// nothing: two open ends.
func nothing(p *pen) {
	p.leads(-12, 12)
	p.circle(-9.5, 0, 2.5)
	p.circle(9.5, 0, 2.5)
}

// panel: a photovoltaic source: a cell that light falls on.
func panel(p *pen) {
	p.leads(-3, 3)
	p.line(-3, -11, -3, 11)
	p.thick(3, -5.5, 3, 5.5)
	for _, u := range []float64{-12, -6} {
		p.line(u-6, -20, u, -14)
		p.filled(u, -14, u-4.2, -15.2, u-1.2, -18.2)
	}
}
