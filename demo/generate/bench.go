package main

import (
	"bytes"
	"fmt"
	"math"
	"time"
)

// What the logger of the bench wrote: five logs, each of a run that osier-24/bench/NAME.toml describes. The chains are drawn as those of the
// readings are; rises, drops, time constants and the panel are put in, not computed. One of the logs is of a unit that is not as
// the sheets say: see warmDiode.

// logger is the meter that took all logs, as bench/meters.toml has it.
type logger struct {
	volts, amps meter
	warm        float64 // K, by which all of its probes are off
	d           draws
}

func newLogger(d draws) logger {
	return logger{volts: newMeter(d, "logger", 0.0005, 2, 0.001), amps: newMeter(d, "logger", 0.005, 5, 0.001), warm: d.within(0.5), d: d}
}

// at is a reading with noise, rounded to the last digit.
func (l logger) at(m meter, v, noise float64) float64 { return m.shows(v + noise*l.d.NormFloat64()) }

// celsius is a probe's reading: that of a thermometer of ±(0.2 % + 0.5 K).
func (l logger) celsius(v float64) float64 {
	return math.Round((v+l.warm+0.04*l.d.NormFloat64())*10) / 10
}

// logs are all logs, by their file. A unit of the last reel has the drift of its references, as in readingsTable.
func logs() map[string][]byte {
	d := stream(7)
	meters := benchMeters(d)
	dref := d.within(designOf("C").refDrift)
	unit := func(n uint64) *chain { return newChain(stream(n), designOf("C"), dref, meters[1]) }
	return map[string][]byte{
		"full-day.csv":     fullDay(unit(21), stream(11)),
		"load-points.csv":  loadPoints([2]*chain{unit(24), unit(25)}, stream(12)), // of the first four drawn those that lie within their limits
		"warm-hour.csv":    warmHour(stream(13)),
		"yard-sweep.csv":   yardSweep(stream(14)),
		"two-on-a-rig.csv": twoOnARig(unit(21), stream(15)),
	}
}

// fullDay is a day on which a battery of 40 Ah is filled, written as a logger does that was bought elsewhere.
func fullDay(c *chain, d draws) []byte {
	l := newLogger(d)
	const every = 30 * time.Second
	start := date("2024-05-14").Add(6 * time.Hour)
	held := map[string]float64{} // once each: a code stays
	for _, level := range []string{"absorption", "float"} {
		held[level] = c.stops(levels[level], 21, true, d)
	}
	var b bytes.Buffer
	b.WriteString("Zeit;Ubat [V];I [A];Tbat [°C]\r\n")
	for n := range int(12 * time.Hour / every) {
		t := time.Duration(n) * every
		h := t.Hours()
		air := 20 + 2*math.Sin(math.Pi*(h-1)/12)
		sun := math.Max(0, math.Sin(math.Pi*h/11))
		volts, amps := 0.0, 0.0
		level := func(name string) float64 { return held[name] + slope*(air-21) }
		switch {
		case h > 11:
			volts, amps = 26.1-0.3*(h-11), 0
		case h < 4:
			amps = 5.2 * sun * (1 + 0.02*d.NormFloat64())
			volts = 25.0 + (level("absorption")-25.0)*math.Pow(h/4, 1.3)
		case h < 6:
			amps = 0.5 + 3.5*math.Exp(-(h-4)/0.5)
			volts = level("absorption") - amps*benchLead
		default:
			amps = 0.2
			volts = level("float") - amps*benchLead + (level("absorption")-level("float"))*math.Exp(-(h-6)/0.08)
		}
		u := fmt.Sprintf("%.3f", l.at(l.volts, volts, 0.003))
		if n == 700 {
			u = "OL" // a plug was pulled
		}
		row := fmt.Sprintf("%s;%s;%.3f;%.1f\r\n", start.Add(t).Format("02.01.2006 15:04:05"), u, l.at(l.amps, amps, 0.004), l.celsius(air))
		b.WriteString(comma(row))
	}
	return b.Bytes()
}

// comma writes decimal commas but leaves the day's points.
func comma(row string) string {
	out := []byte(row)
	for i := len("02.01.2006"); i < len(out); i++ {
		if out[i] == '.' {
			out[i] = ','
		}
	}
	return string(out)
}

// loadPoints is a supply swept three times over the points at which two units cut the load off and give it back, 0.5 A drawn.
func loadPoints(units [2]*chain, d draws) []byte {
	const amps, rate, low, high = 0.5, 0.015, 22.0, 26.0
	l := newLogger(d)
	var off, on [2]float64
	for u, c := range units {
		off[u] = c.stops(levels["load-disconnect"], 21, false, d) + amps*benchLead
		on[u] = c.stops(levels["load-reconnect"], 21, false, d) // nothing is drawn yet
	}
	var b bytes.Buffer
	b.WriteString("s,supply (V),out 1 (V),out 2 (V)\n")
	at, closed := 0, [2]bool{true, true}
	v := high
	for range 3 {
		for _, to := range []float64{low, high} {
			for math.Abs(v-to) > rate/2 {
				v += math.Copysign(rate, to-v)
				fmt.Fprintf(&b, "%d,%.3f", at, l.at(l.volts, v, 0.001))
				for u := range units {
					noise := 0.002 * d.NormFloat64()
					closed[u] = closed[u] && v > off[u]+noise || v > on[u]+noise
					out := 0.0
					if closed[u] {
						out = v - 0.02
					}
					fmt.Fprintf(&b, ",%.2f", math.Abs(out))
				}
				b.WriteString("\n")
				at++
			}
		}
	}
	return b.Bytes()
}

// The diode of the unit that was soaked is from another reel: its drop is by this much above the sheet's, which puts the drop of the
// controller and its own temperature beyond what the sheets allow.
const warmDiode = 1.16

// warmHour is 80 minutes in the cabinet at 9.8 A. The drop is that of the whole controller, of which the diode's is coldDrop when cold.
func warmHour(d draws) []byte {
	const amps, wiring, coldDrop, warming = 9.8, 0.250, 0.398, 0.062
	l := newLogger(d)
	var b bytes.Buffer
	b.WriteString("min,air (°C),d1 tab (°C),case (°C),I (A),drop (mV)\n")
	for n := range 80 * 6 {
		t := float64(n) / 6 // min
		air := 21.8 + 0.05*math.Sin(t/9)
		slow, fast := 1-math.Exp(-t/16), 1-math.Exp(-t/2.2)
		rise := 64.5 * (0.72 + 0.28*warmDiode) * (0.68*fast + 0.32*slow) // some of its warmth is the others'
		drop := wiring*(1+0.05*slow) + warmDiode*(coldDrop-warming*(0.68*fast+0.32*slow))
		fmt.Fprintf(&b, "%.3f,%.1f,%.1f,%.1f,%.3f,%.0f\n", t, l.celsius(air), l.celsius(air+rise), l.celsius(air+10.4*1.03*slow),
			l.at(l.amps, amps, 0.004), 1000*l.at(l.volts, drop, 0.0008))
	}
	return b.Bytes()
}

// yardSweep is one panel of 50 W, an electronic load going from short to open circuit in 8 s at 870 W/m² and 41 °C.
func yardSweep(d draws) []byte {
	const (
		photo, dark, thermal, series, shunt = 2.672, 5.4e-9, 1.02, 0.42, 140.0
		points                              = 120
	)
	l := newLogger(d)
	current := func(v float64) float64 { // the single diode's, by bisection
		low, high := -1.0, photo+1
		for range 60 {
			i := (low + high) / 2
			x := v + i*series
			if photo-dark*math.Expm1(x/thermal)-x/shunt > i {
				low = i
			} else {
				high = i
			}
		}
		return (low + high) / 2
	}
	var b bytes.Buffer
	b.WriteString("V,A\n")
	for n := range points {
		v := 20.5 * (1 - math.Pow(1-float64(n)/(points-1), 1.6))
		i := current(v)
		if i < -0.05 {
			break
		}
		fmt.Fprintf(&b, "%.3f,%.3f\n", l.at(l.volts, v, 0.003), l.at(l.amps, i, 0.002))
	}
	return b.Bytes()
}

// twoOnARig is an afternoon on which a unit and somebody else's controller held the same battery in turn, 15 minutes each. The other holds it
// higher by its own setting.
func twoOnARig(c *chain, d draws) []byte {
	const higher = 0.11 // V
	l := newLogger(d)
	start := date("2024-05-16").Add(12 * time.Hour)
	ours := c.stops(levels["float"], 22, true, d)
	var b bytes.Buffer
	b.WriteString("time,battery (V),charge (A),sun (W/m2)\n")
	cloud := 0.0
	for n := range 6 * 45 {
		t := time.Duration(n) * 20 * time.Second
		cloud = 0.9*cloud + 15*d.NormFloat64()
		sun := 760 - 40*t.Hours() + cloud
		volts, amps := ours, 0.22+0.0001*(sun-700)
		if n/45%2 == 1 {
			volts, amps = ours+higher, amps+0.03
		}
		volts += 0.00002*(sun-700) - 0.004*t.Hours()
		fmt.Fprintf(&b, "%s,%.3f,%.3f,%.0f\n", start.Add(t).Format(time.DateTime), l.at(l.volts, volts-amps*benchLead, 0.002), l.at(l.amps, amps, 0.002), sun)
	}
	return b.Bytes()
}
