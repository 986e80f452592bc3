package setpoint

import "math"

// floats keeps what it is given.
type floats struct{ lows, highs []float64 }

func newFloats(n int) floats { return floats{make([]float64, n), make([]float64, n)} }

func (f floats) put(at int, lows, highs []float64) {
	copy(f.lows[at:], lows)
	if f.highs != nil {
		copy(f.highs[at:], highs)
	}
}

// codes keeps values as 16-bit numbers between two ends, so that a million units take 4 MB and what
// is asked of them reads little memory. Where the ends are the arithmetic worst cases, the grain
// is some 20 µV.
type codes struct {
	base, grain float64  // value = base + grain·code
	lows, highs []uint16 // of each unit; one slice if each has one value
	stick       bool     // the last code is of units that have no value
}

const lastCode = math.MaxUint16

// newSticking makes codes whose last one is of units that have no value.
func newSticking(n int, low, high float64) *codes {
	c := newCodes(n, false, low, high)
	c.stick, c.grain = true, (high-low)/(lastCode-1)
	if c.grain == 0 {
		c.grain = (1 + math.Abs(high)) / lastCode
	}
	return c
}

func newCodes(n int, single bool, low, high float64) *codes {
	c := &codes{base: low, grain: (high - low) / lastCode, lows: make([]uint16, n)}
	c.highs = c.lows
	if !single {
		c.highs = make([]uint16, n)
	}
	return c
}

func (c *codes) put(at int, lows, highs []float64) {
	c.encode(c.lows[at:at+len(lows)], lows)
	if &c.lows[0] != &c.highs[0] {
		c.encode(c.highs[at:at+len(highs)], highs)
	}
}

func (c *codes) encode(dst []uint16, values []float64) {
	scale := 0.0
	if c.grain > 0 {
		scale = 1 / c.grain
	}
	for i, v := range values {
		code := int((v-c.base)*scale + 0.5)
		if uint(code) > lastCode {
			code = min(max(code, 0), lastCode)
		}
		dst[i] = uint16(code)
	}
}

func (c *codes) value(code float64) float64 { return c.base + c.grain*code }

// between returns the least and greatest code of the values from min to max.
func (c *codes) between(low, high float64) (from, to int) {
	if c.grain == 0 {
		if low <= c.base && c.base <= high {
			return 0, 0
		}
		return 1, 0
	}
	from = int(math.Ceil(min(max((low-c.base)/c.grain, 0), lastCode+1)))
	to = int(math.Floor(min(max((high-c.base)/c.grain, -1), lastCode)))
	if c.stick {
		to = min(to, lastCode-1)
	}
	return from, to
}

// beyond stands for the value of a unit that has none: as far above the highest of the others as that
// is above the lowest, and 1 V more.
func (c *codes) beyond() float64 { return 1 + c.base + 2*c.grain*lastCode }

// quantiles returns the p-quantiles of values, straight within a code: by counting the high bytes of
// the codes, and then the low bytes of those that share a high byte with a quantile.
func (c *codes) quantiles(values []uint16, p ...float64) []float64 {
	var high [256]int
	for _, code := range values {
		high[code>>8]++
	}
	list := make([]float64, len(p))
	for i, p := range p {
		upper, rank := find(&high, p*float64(len(values)))
		var low [256]int
		for _, code := range values {
			if int(code>>8) == upper {
				low[code&255]++
			}
		}
		lower, rest := find(&low, rank)
		if c.stick && upper<<8+lower == lastCode {
			list[i] = c.beyond()
			continue
		}
		list[i] = c.value(float64(upper<<8+lower) - 0.5 + rest/float64(max(low[lower], 1)))
	}
	return list
}

// find returns the byte at which counts add up to a rank, and what is left of the rank there.
func find(counts *[256]int, rank float64) (at int, rest float64) {
	last := 0
	for k, n := range counts {
		if n == 0 {
			continue
		}
		if rank <= float64(n) {
			return k, rank
		}
		rank -= float64(n)
		last = k
	}
	return last, float64(counts[last])
}
