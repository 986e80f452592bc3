package main

import "time"

// wanted is how many were sold in each month from March 2021 on: gauging posts are
// built from spring to autumn.
var wanted = []int{
	12, 20, 26, 30, 31, 30, 33, 34, 28, 24, 26, 30, // to February 2022
	38, 42, 43, 42, 40, 46, 70, 44, 34, 24, 28, 33, // to February 2023
	38, 44, 46, 47, 42, 40, 43, 39, 34, 25, 30, 36, // to February 2024
	42, 46, 50, // to May 2024
}

var prices = []struct {
	from  time.Time
	price float64 // EUR, with tax
}{
	{date("2021-03-01"), 72}, {date("2022-03-01"), 75}, {date("2023-02-01"), 78}, {date("2024-02-01"), 79},
}

var channels = []weighted[string]{{0.72, "own-page"}, {0.22, "dealer"}, {0.06, "workshop"}}

var orderSizes = []weighted[int]{{62, 1}, {18, 2}, {8, 3}, {5, 4}, {4, 6}, {2, 10}, {1, 16}}

func priceAt(t time.Time) float64 {
	p := prices[0].price
	for _, row := range prices {
		if !t.Before(row.from) {
			p = row.price
		}
	}
	return p
}

// sell hands units out, oldest first, order by order.
func sell(units []*unit, d draws) {
	var shelf []*unit
	for _, u := range units {
		if u.result != "scrap" {
			shelf = append(shelf, u)
		}
	}
	for m, left := range wanted {
		first := date("2021-03-01").AddDate(0, m, 0)
		for _, on := range ordersOf(first, &left, d) {
			n := 0
			for n < on.size && n < len(shelf) && shelf[n].made.Before(on.day) {
				n++
			}
			on.send(shelf[:n], d)
			shelf = shelf[n:]
		}
	}
}

type order struct {
	day  time.Time
	size int
}

// ordersOf spreads a month's sales over its days, in order of date.
func ordersOf(first time.Time, left *int, d draws) []order {
	length := int(first.AddDate(0, 1, 0).Sub(first).Hours() / 24)
	perDay := make([][]order, length+3) // an order of Saturday the 31st is booked on the Monday
	for *left > 0 {
		size := min(oneOf(d, orderSizes), *left)
		on := workday(after(first, d.IntN(length)))
		if on.After(lastDay) {
			on = lastDay
		}
		i := int(on.Sub(first).Hours() / 24)
		perDay[i] = append(perDay[i], order{on, size})
		*left -= size
	}
	var all []order
	for _, orders := range perDay {
		all = append(all, orders...)
	}
	return all
}

func (o order) send(units []*unit, d draws) {
	channel := oneOf(d, channels)
	price := priceAt(o.day)
	if len(units) >= 10 {
		price = decimals(price*0.92, 0)
	}
	parcel := 0.0
	if channel != "workshop" {
		parcel = 4.6 + 0.5*float64(len(units)) + d.between(0, 0.8)
	}
	for _, u := range units {
		u.sold, u.channel, u.price = o.day, channel, price
		u.carriage = parcel / float64(len(units))
	}
}

func soldTable(units []*unit) *table {
	t := newTable("date serial channel price carriage basis")
	for _, u := range units {
		if !u.sold.IsZero() {
			t.add(map[string]string{"date": day(u.sold), "serial": serial(u.serial), "channel": u.channel,
				"price": euros(u.price), "carriage": euros(u.carriage), "basis": "booked"})
		}
	}
	return t
}
