package accounts

// fewest is how many sales a published row has to hold, if any, so that it does not tell what one buyer paid (common practice, no source).
const fewest = 5

// merged parts a list of sales, best values, into stretches of at least fewest, or of none; the last may have to join those before it.
func merged(sold []float64) (ends []int) {
	n := 0.0
	sums := []float64{}
	for i, s := range sold {
		if n += s; n == 0 || n >= fewest-1e-9 {
			ends, sums, n = append(ends, i+1), append(sums, n), 0
		}
	}
	for n > 0 && n < fewest-1e-9 && len(ends) > 0 {
		last := len(ends) - 1
		n += sums[last]
		ends, sums = ends[:last], sums[:last]
	}
	if n > 0 {
		ends = append(ends, len(sold))
	}
	return ends
}

// years adds up the months, and the years with too few sales.
func (r *Result) years() {
	var all []Year
	var sold []float64
	for _, m := range r.Months {
		if n := len(all); n == 0 || all[n-1].Year != m.First.Year() {
			all, sold = append(all, Year{Year: m.First.Year()}), append(sold, 0)
		}
		all[len(all)-1].plus(Year{Until: m.First.Year(), In: m.In, Out: m.Out, Sold: m.Sold, Hours: m.Hours, Design: m.Design})
		sold[len(sold)-1] += m.Sold
	}
	from := 0
	for _, until := range merged(sold) {
		for _, y := range all[from+1 : until] {
			all[from].plus(y)
		}
		r.Years = append(r.Years, all[from])
		from = until
	}
}

// plus adds a later year.
func (y *Year) plus(o Year) {
	y.Until, y.In, y.Out, y.Sold = o.Until, y.In.Plus(o.In), y.Out.Plus(o.Out), y.Sold+o.Sold
	y.Hours, y.Design = y.Hours+o.Hours, y.Design+o.Design
}

// stretches are the ends, as counts of months, of the rows of months that are published: they lie within the rows of years, so that
// one table less the other tells no more.
func (r *Result) stretches() (ends []int) {
	k := 0
	for _, y := range r.Years {
		from := k
		var sold []float64
		for ; k < len(r.Months) && r.Months[k].First.Year() <= y.Until; k++ {
			sold = append(sold, r.Months[k].Sold)
		}
		for _, end := range merged(sold) {
			ends = append(ends, from+end)
		}
	}
	return ends
}
