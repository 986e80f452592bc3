package accounts

import (
	"fmt"
	"slices"

	"hindwatt/internal/quantity"
)

// unitSale is what one sale brings and takes; rate is the part of the price that the fee takes in proportion to it.
type unitSale struct {
	price, tax, fee price
	rate            float64
}

type saleKey struct {
	quantity.Quantity
	channel string
}

// The kinds of money that follow from sales and returns.
const (
	kindSold    = "sold"
	kindTax     = "tax passed on"
	kindFees    = "channel fees"
	kindSending = "sending"
	kindPacking = "packing"
	kindBack    = "what came back"
)

func (b *book) sales() {
	noPrice, noFee := 0, 0
	listed := map[string]price{kindSending: b.sending(), kindPacking: b.packing()}
	b.entries = make([]entry, 0, 4*len(b.in.Sold)+len(b.in.Returned)+len(b.in.Spent))
	for _, s := range b.in.Sold {
		asked := s.Price
		if asked == nil {
			asked = b.in.Price
		}
		if asked == nil {
			noPrice++
			continue
		}
		if u, ok := b.unitSale(asked, s.Price == nil, s.Channel); ok {
			b.sale(s, u, listed)
			if !b.known(s.Channel) {
				noFee++
			}
		}
	}
	if noPrice > 0 {
		b.lack("records/sold.csv", "price", "what "+rows(noPrice)+" brought; or work.price of production.toml")
	}
	if noFee > 0 && len(b.in.Channels) > 0 {
		b.sayMix(noFee)
	}
}

// sale enters what a row of sales brings and takes; listed is what production.toml says of each.
func (b *book) sale(s Sold, u unitSale, listed map[string]price) {
	count, f := b.count(s.Count, "units sold")
	units := count[1]
	b.enter(entry{row: s.Row, in: true, kind: kindSold, moves: true}, b.scaled(u.price, count, f))
	if u.tax.form != nil {
		b.enter(entry{row: s.Row, kind: kindTax, moves: true, prop: u.tax.ends[1].Float64() * units}, b.scaled(u.tax, count, f))
	}
	if u.fee.form != nil {
		b.enter(entry{row: s.Row, kind: kindFees, moves: true, prop: u.rate * u.price.ends[1].Float64() * units}, b.scaled(u.fee, count, f))
	}
	if s.Carriage != nil {
		if p, ok := b.price(s.Carriage, kindSending); ok {
			b.enter(entry{row: s.Row, kind: kindSending, moves: true}, b.scaled(p, count, f))
		}
	}
	for _, kind := range []string{kindSending, kindPacking} {
		if p := listed[kind]; p.form != nil {
			b.enter(entry{row: s.Row, kind: kind, moves: true, calculated: true}, b.scaled(p, count, f))
		}
	}
}

func (b *book) known(channel string) bool {
	return slices.ContainsFunc(b.in.Channels, func(c Channel) bool { return c.Name == channel })
}

// unitSale is the sale of one: the tax within the price and the channel's fee of the price with tax, booked for each sale [A2].
func (b *book) unitSale(asked *Value, general bool, channel string) (u unitSale, ok bool) {
	if !b.known(channel) {
		channel = ""
	}
	key := saleKey{asked.Quantity, channel}
	if u, ok = b.units[key]; ok {
		return u, true
	}
	group := "price"
	if general {
		group = "work.price"
	}
	if u.price, ok = b.price(asked, group); !ok {
		return u, false
	}
	if rate := b.taxOn(false); rate[1] > 0 {
		u.tax.form = u.price.form.times(constant(rate[1] / (1 + rate[1]))) // [A2]
		for i := range u.tax.ends {
			a, err := u.price.ends[i].Included(rate[i])
			if err != nil {
				return u, false
			}
			u.tax.ends[i] = a.Booked()
		}
		u.tax.form[power{}] = u.tax.ends[1].Float64()
	}
	if u.fee, u.rate = b.mixedFee(u.price); channel != "" {
		i := slices.IndexFunc(b.in.Channels, func(c Channel) bool { return c.Name == channel })
		u.fee, u.rate = b.fee(b.in.Channels[i], u.price), best(b.in.Channels[i].Fee)
	}
	b.units[key] = u
	return u, true
}

// fee is a channel's fee of one sale [A2].
func (b *book) fee(c Channel, of price) (fee price) {
	if c.Fee != nil {
		fee = b.scaled(of, ends(c.Fee.Quantity), b.groups.of(c.Fee.Quantity, "fee of "+c.Name))
	}
	if c.Fixed == nil {
		return fee
	}
	fixed, ok := b.price(c.Fixed, "fee of "+c.Name)
	switch {
	case ok && fee.form == nil:
		return fixed
	case ok:
		fee.form.plus(fixed.form, 1)
		for i := range fee.ends {
			fee.ends[i] = fee.ends[i].Plus(fixed.ends[i])
		}
		fee.form[power{}] = fee.ends[1].Float64()
	}
	return fee
}

// mixedFee is the fee of a sale whose channel is not known: the mix of all channels by their shares (all alike where no share is
// given), between the least and the most that one takes [A2]. rate is the part in proportion to the price.
func (b *book) mixedFee(of price) (fee price, rate float64) {
	at := of.ends[1].Float64()
	if len(b.in.Channels) == 0 || at <= 0 {
		return fee, 0
	}
	shared := slices.ContainsFunc(b.in.Channels, func(c Channel) bool { return best(c.Share) > 0 })
	var all, mix [3]float64 // the fee in parts of the price: least, mix, most
	shares := 0.0
	for i, c := range b.in.Channels {
		one := b.fee(c, of)
		for k, end := range one.ends {
			all[k] = end.Float64() / max(of.ends[k].Float64(), 1e-9)
		}
		if mix[0] = min(mix[0], all[0]); i == 0 {
			mix[0] = all[0]
		}
		mix[2] = max(mix[2], all[2])
		weight := 1.0
		if shared {
			weight = best(c.Share)
		}
		shares += weight
		mix[1] += weight * all[1]
		rate += weight * best(c.Fee)
	}
	mix[1] /= shares
	if mix[2] == 0 {
		return fee, 0
	}
	return b.scaled(of, mix, b.groups.between(mix, "the channel where none is named")), rate / shares
}

func (b *book) sayMix(n int) {
	how := "the mix of the channels by their shares, between the least and the most that one takes, stands for their fee"
	if len(b.in.Channels) == 1 {
		how = "the fee of " + b.in.Channels[0].Name + ", the only one, is taken"
	}
	b.warn(rows(n)+" of sold.csv without a channel that production.toml has: "+how, "write the channel", "records/sold.csv")
}

// taxOn is the rate of all taxes on the price, or on the profit, added up.
func (b *book) taxOn(profit bool) (rate [3]float64) {
	for _, t := range b.in.Taxes {
		if t.OnProfit == profit && t.Rate != nil {
			for i, r := range ends(t.Rate.Quantity) {
				rate[i] += r
			}
		}
	}
	return rate
}

// sending is what sending one cost by production.toml, where no row of sold.csv tells, nor spent.csv.
func (b *book) sending() price {
	if b.spent(kindSending) || slices.ContainsFunc(b.in.Sold, func(s Sold) bool { return s.Carriage != nil }) {
		return price{}
	}
	return b.carried(kindSending, "sold.csv has no carriage", "write carriage into sold.csv", func(c Carriage) *Value { return c.Amount })
}

func (b *book) spent(group string) bool {
	return slices.ContainsFunc(b.in.Spent, func(s Spent) bool { return s.Group == group })
}

// packing is what packing one cost by production.toml, where spent.csv has no such kind.
func (b *book) packing() price {
	if b.spent(kindPacking) {
		return price{}
	}
	return b.carried(kindPacking, "spent.csv has no packing", "write what it cost into spent.csv", func(c Carriage) *Value { return c.Packing })
}

// carried is a sum of the ways of sending: that of the one there is, or anything from the least to the most.
func (b *book) carried(group, why, remedy string, of func(Carriage) *Value) (p price) {
	if len(b.in.Sold) == 0 {
		return p
	}
	n := 0
	for _, c := range b.in.Carriages {
		v := of(c)
		if v == nil {
			continue
		}
		one, ok := b.price(v, group)
		if !ok {
			continue
		}
		if n++; n == 1 {
			p = one
			continue
		}
		if one.ends[0].Cmp(p.ends[0]) < 0 {
			p.ends[0] = one.ends[0]
		}
		if one.ends[2].Cmp(p.ends[2]) > 0 {
			p.ends[2] = one.ends[2]
		}
	}
	switch {
	case n == 0:
	case n == 1:
		b.warn(why+": what production.toml gives is taken, "+b.euros(p.ends[1].Float64())+" a unit", remedy, "production.toml")
	default:
		low, high := p.ends[0].Float64(), p.ends[2].Float64()
		p.ends[1], _ = p.ends[0].Plus(p.ends[2]).Scaled(0.5)
		p.ends[1] = p.ends[1].Booked()
		p.form = b.groups.between([3]float64{low, p.ends[1].Float64(), high}, group)
		b.warn(fmt.Sprintf("%s: production.toml has %d ways, and any sum from %s to %s is taken", why, n, b.euros(low), b.euros(high)), remedy, "production.toml")
	}
	return p
}
