package weather

import (
	"math"

	"hindwatt/internal/numeric"
)

// dayCourse returns the air temperature less its daily mean, as a share of the swing, at a solar hour:
// D. G. Erbs, S. A. Klein and W. A. Beckman, ASHRAE Journal, June 1983, [SN24].
func dayCourse(hour float64) float64 {
	t := 2 * math.Pi * (hour - 1) / 24
	return 0.4632*numeric.Cos(t-3.805) + 0.0984*numeric.Cos(2*t-0.360) + 0.0168*numeric.Cos(3*t-0.822) + 0.0138*numeric.Cos(4*t-3.513)
}

// smoothAir finds a course through the year without steps at the months' ends whose monthly means are those given.
func (c *Climate) smoothAir() {
	var middle [12]float64
	for m := range middle {
		middle[m] = c.Months[m].Air
	}
	for range 60 { // the neighbours' share is a quarter at most: it converges by half a digit a round
		for d := range c.course {
			c.course[d] = between(&middle, float64(d))
		}
		for m := range middle {
			middle[m] += c.Months[m].Air - monthMean(c.course[:], m)
		}
	}
}

// between returns the straight line through the months' middles at a midnight.
func between(middle *[12]float64, day float64) float64 {
	for m := range 13 {
		a, b := center(m-1), center(m)
		if day <= b {
			return middle[(m+11)%12] + (middle[m%12]-middle[(m+11)%12])*(day-a)/(b-a)
		}
	}
	a, b := center(11), center(12)
	return middle[11] + (middle[0]-middle[11])*(day-a)/(b-a)
}

// center returns the middle of month -1..12, in days of the year.
func center(m int) float64 {
	switch {
	case m < 0:
		return center(11) - Days
	case m > 11:
		return center(0) + Days
	}
	return float64(monthStart[m]+monthStart[m+1]) / 2
}

// monthMean returns the mean of a month of what goes straight from midnight to midnight.
func monthMean(midnight []float64, m int) float64 {
	from, to := monthStart[m], monthStart[m+1]
	s := (midnight[from] + midnight[to]) / 2
	for d := from + 1; d < to; d++ {
		s += midnight[d]
	}
	return s / float64(to-from)
}

// drawAir draws the air of a year: the smooth course, a persistent deviation of days, and the month's own,
// all without a step, with the month's mean as it is to be, [SN25].
func (c *Climate) drawAir(y *Year, r *numeric.Stream) {
	last := airDaySpread * r.Norm()
	for d := range y.midnight {
		y.midnight[d] = c.course[d] + last
		last = airPersistence*last + math.Sqrt(1-airPersistence*airPersistence)*airDaySpread*r.Norm()
	}
	for m := range 12 {
		from, to := monthStart[m], monthStart[m+1]
		want := c.Months[m].Air
		if e := r.Norm(); !c.Exact {
			want += e * c.Months[m].AirSpread
		}
		miss, n := want-monthMean(y.midnight[:], m), float64(to-from)
		for d := from + 1; d < to; d++ {
			x := float64(d-from) / n
			y.midnight[d] += miss * 6 * x * (1 - x) / (1 - 1/(n*n)) // its mean over the month is miss
		}
		c.drawSwing(y, m)
	}
}

// drawSwing gives clear days more swing than cloudy ones, with the month's mean kept.
func (c *Climate) drawSwing(y *Year, m int) {
	from, to := monthStart[m], monthStart[m+1]
	sum := 0.0
	for d := from; d < to; d++ {
		y.swing[d] = max(25.8*y.clearness[d]-5.21, 2)
		sum += y.swing[d]
	}
	f := c.Months[m].Swing * float64(to-from) / sum
	for d := from; d < to; d++ {
		y.swing[d] *= f
	}
}
