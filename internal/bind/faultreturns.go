package bind

import (
	"slices"

	"hindwatt/internal/product"
	"hindwatt/internal/study/fault"
)

// returned are the units of all revisions that came back and in which a fault was found, by the reason that was written down.
func returned(p *product.Product) (out []fault.Return) {
	own, _ := Ledger(p)
	mine := back(own)
	for _, r := range back(p.Folder.Ledger()) {
		if !r.Reason.Set() || r.Found.Set() && !r.Found.Is("fault") {
			continue
		}
		count := 1.0
		if r.Count.Set() {
			count = r.Count.Value
		}
		k := slices.IndexFunc(out, func(o fault.Return) bool { return o.Reason == r.Reason.Text })
		if k < 0 {
			out, k = append(out, fault.Return{Reason: r.Reason.Text}), len(out)
		}
		out[k].Count += count
		if slices.Contains(mine, r) {
			out[k].Own += count
		}
	}
	return out
}

// back are all rows of returned.csv of a ledger, with a serial or without.
func back(l *product.Ledger) []*product.Returned {
	rows := slices.Clone(l.Returned)
	for _, u := range l.Units {
		rows = append(rows, u.AllReturned()...)
	}
	return rows
}
