package accounts

import (
	"fmt"

	"hindwatt/internal/page"
)

// owed is what lies in stock and what may still come back.
func (r *Result) owed() page.Table {
	t := page.Table{Title: "In stock, and still owed", Head: []string{"what", "how many", "money"}, Align: "lrr",
		Note: "Stock is what was made, less scrapped and sold, at what the parts of one cost: paid for, not yet earned. What may still come back is the rate of returns so far (exact limits), for the time that units are still accepted after the last row, at the mean cost of a return."}
	made, begun := 0.0, 0.0
	for _, m := range r.Input.Made {
		n := 1.0
		if m.Count != nil {
			n = m.Count.Value
		}
		if begun += n; !m.Scrap {
			made += n
		}
	}
	parts := 0.0
	for _, e := range r.book.entries {
		if e.units || e.kind == partsByList {
			parts += e.amounts[1].Float64()
		}
	}
	if stock := made - r.sold(); begun > 0 && stock >= 0 {
		t.Rows = append(t.Rows, []string{"in stock", fmt.Sprintf("%.0f", stock), r.money(stock * parts / begun)})
	} else if begun > 0 {
		r.book.warn(fmt.Sprintf("%.0f more were sold than made.csv has", -stock), "write the missing units into made.csv", "records/made.csv")
		r.Warnings = r.book.warnings
	}
	if r.SetAside.None == "" {
		t.Rows = append(t.Rows, []string{"may still come back", "", r.SetAside.text(r.money)})
	}
	return t
}

// sold is how many were sold, by the best values.
func (r *Result) sold() (n float64) {
	for _, s := range r.Input.Sold {
		if s.Count == nil {
			n++
		} else {
			n += s.Count.Value
		}
	}
	return n
}
