package caution

import (
	"fmt"
	"time"

	"hindwatt/internal/product"
	"hindwatt/internal/quantity"
)

func minutes(r *report) {
	total := 0.0
	var leaves []product.Leaf
	for _, s := range r.Production.Steps.All() {
		if s.Minutes.Set() {
			total += s.Minutes.Value / 60
			leaves = append(leaves, s.Minutes.Leaf)
		}
	}
	if len(leaves) > 0 && outside(total, 5, 120) {
		r.say(fmt.Sprintf("the steps add up to %.3g minutes a unit; by hand 10 to 60 are usual", total), "check the units of time, and whether a step is missing", leaves...)
	}
}

func yields(r *report) {
	for name, s := range r.Production.Steps.All() {
		if s.Yield.Set() && below(s.Yield.Value, 0.7) {
			r.say(fmt.Sprintf("step %s passes only %s at first", name, percent(s.Yield.Value)), "check whether the yield is a share that passes", s.Yield.Leaf)
		}
	}
	passed, other := 0.0, false
	for _, m := range r.Folder.Records.Made {
		n := 1.0
		if m.Count.Set() {
			n = m.Count.Low
		}
		switch {
		case m.Result.Is("pass"):
			passed += n
		case m.Result.Set():
			other = true
		}
	}
	if passed > 50 && !other {
		m := r.Folder.Records.Made
		r.say(fmt.Sprintf("all of %.0f units passed at first: faults in making were probably not written down", passed), "record rework and scrap too", m[0].Result.Leaf)
	}
}

func shares(r *report) {
	sum, n := 0.0, 0
	var last product.Leaf
	for _, c := range r.Production.Channels.All() {
		if c.Share.Set() {
			sum += c.Share.Value
			last = c.Share.Leaf
			n++
		}
	}
	if n > 0 && n == r.Production.Channels.Len() && outside(sum, 0.99, 1.01) {
		r.say("the shares of the channels add up to "+percent(sum), "want 100 %", last)
	}
}

func fees(r *report) {
	price := r.Production.Work.Price
	for name, c := range r.Production.Channels.All() {
		fee := c.Fee.Value
		if c.Fixed.Set() && price.Value > 0 && c.Fixed.Currency == price.Currency {
			fee += c.Fixed.Value / price.Value
		}
		if c.Fee.Set() && above(fee, 0.2) {
			r.say(fmt.Sprintf("channel %s keeps %s of the price; 5 %% to 20 %% are usual", name, percent(fee)), "check whether it is a share of the price with tax", c.Fee.Leaf)
		}
	}
}

// netPrice returns what is left of the price without the tax on it.
func (r *report) netPrice() float64 {
	net := r.Production.Work.Price.Value
	for _, t := range r.Production.Taxes.All() {
		if t.On.Is("price") && t.Rate.Set() {
			net /= 1 + t.Rate.Value
		}
	}
	return net
}

// priceAt returns the price of one when n are bought.
func priceAt(p product.Prices, n float64) (quantity.Quantity, bool) {
	var price quantity.Quantity
	found := false
	for _, b := range p.Breaks {
		if !found || float64(b.From) <= n {
			price, found = b.Price, true
		}
	}
	return price, found
}

func materials(r *report) {
	work := r.Production.Work
	if !work.Price.Set() {
		return
	}
	batch := max(1, work.Batch.Value)
	sum := 0.0
	for _, line := range r.Production.BOM.All() {
		each := line.Each.Value
		if !line.Each.Set() {
			each = 1
		}
		price, ok := priceAt(line.Prices, each*batch)
		if !ok || price.Currency != work.Price.Currency {
			return // the share of what is known only would mislead
		}
		sum += each * price.Value * (1 + line.Attrition.Value)
	}
	if share := sum / r.netPrice(); sum > 0 && above(share, 0.4) {
		r.say(fmt.Sprintf("materials are %s of the price without tax; 20 %% to 40 %% are usual: little is left to pay for time", percent(share)), "ask more, or buy for larger batches", work.Price.Leaf, r.Production.BOM.Leaf)
	}
}

// order reports units that were sold before they were made, or came back before they
// were sold, by their serials.
func order(r *report) {
	records := &r.Folder.Records
	made, sold := map[string]product.Date{}, map[string]product.Date{}
	for _, m := range records.Made {
		if before, ok := made[m.Serial.Text]; m.Serial.Set() && (!ok || m.Date.Day.Before(before.Day)) {
			made[m.Serial.Text] = m.Date
		}
	}
	var early, back, twice []product.Leaf
	for _, s := range records.Sold {
		if m, ok := made[s.Serial.Text]; s.Serial.Set() && ok && lastDay(s.Date, s.Until).Before(m.Day) {
			early = append(early, s.Leaf)
		}
		if _, ok := sold[s.Serial.Text]; s.Serial.Set() && ok {
			twice = append(twice, s.Leaf)
		}
		if s.Serial.Set() {
			sold[s.Serial.Text] = s.Date
		}
	}
	for _, b := range records.Returned {
		if s, ok := sold[b.Serial.Text]; b.Serial.Set() && ok && lastDay(b.Date, b.Until).Before(s.Day) {
			back = append(back, b.Leaf)
		}
	}
	r.units(early, "sold before it was made", "sold before they were made")
	r.units(twice, "sold twice", "sold twice; a unit that came back and was sold again needs a note")
	r.units(back, "back before it was sold", "back before they were sold")
}

func lastDay(date, until product.Date) time.Time {
	if until.Set() {
		return until.Day
	}
	return date.Day
}

func (r *report) units(rows []product.Leaf, one, several string) {
	switch {
	case len(rows) == 1:
		r.say("one unit was "+one, "check the row", rows...)
	case len(rows) > 1:
		r.say(fmt.Sprintf("%d units were %s", len(rows), several), "check the rows, of which these are the first", rows[:min(3, len(rows))]...)
	}
}
