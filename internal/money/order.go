package money

import (
	"errors"
	"fmt"
)

// Terms are those on which a piece is sold.
type Terms struct {
	Breaks  []Break // ascending, at least one, of one currency, as ParseBreaks gives them
	Minimum int     // fewest pieces of an order; 0 is none
	Pack    int     // pieces of a pack, of which only whole ones are sold; 0 is 1
}

// An Ordered is what is bought at once.
type Ordered struct {
	Quantity int
	Price    Amount // of one piece
	Cost     Amount // of all, as it is booked
}

// Order returns the cheapest order of at least need pieces under the terms. Buying up to a later
// price break is done where it costs less in all; of equal costs the smaller quantity is taken.
//
//	need  pieces, 1 to 10⁹
//
// A need, a minimum or a pack that is out of reach, and terms without a price, are errors.
func (t Terms) Order(need int) (Ordered, error) {
	switch {
	case need < 1 || len(t.Breaks) == 0:
		return Ordered{}, errors.New("money: nothing to order; want at least one piece and one price")
	case need > maxFrom || t.Minimum > maxFrom || t.Pack > maxFrom:
		return Ordered{}, fmt.Errorf("money: more than can be ordered; want at most %d pieces", maxFrom)
	}
	best := t.at(t.whole(max(need, t.Minimum, t.Breaks[0].From)))
	least := best.Quantity
	for _, b := range t.Breaks {
		if b.From <= least {
			continue
		}
		if more := t.at(t.whole(b.From)); more.Cost.Cmp(best.Cost) < 0 {
			best = more
		}
	}
	return best, nil
}

// whole rounds up to whole packs.
func (t Terms) whole(pieces int) int {
	pack := max(1, t.Pack)
	return (pieces + pack - 1) / pack * pack
}

// at books so many pieces at the price that holds for them.
func (t Terms) at(pieces int) Ordered {
	price := t.Breaks[0].Price
	for _, b := range t.Breaks {
		if b.From <= pieces {
			price = b.Price
		}
	}
	return Ordered{pieces, price, price.Times(pieces).Booked()} // [M4]
}
