package folder

import (
	"slices"
	"strings"

	"culm/agronomy/calendar"
	"culm/agronomy/unit"
	"culm/season"
)

// priceRow is a price as it stands: its numbers mean something only with the item and the unit.
type priceRow struct {
	season.Price
	price, low, high, per string
}

func isPass(item string) bool { return strings.HasPrefix(item, "pass/") }

func pricesChapter() chapter {
	return sheet[priceRow, int]{
		kind:    season.KindPrice,
		columns: priceColumns,
		join: func(rows []priceRow, _ string, at *rowsAt) season.Body {
			if p := rows[0].body(at); p != nil {
				return p
			}
			return nil
		},
		split: func(body season.Body) []priceRow { return []priceRow{{Price: *body.(*season.Price)}} },
	}.chapter()
}

// body turns the numbers into money per kilogram or per hectare. It gives nil for what was reported.
func (r priceRow) body(at *rowsAt) *season.Price {
	scales := prices(r.Item)
	i := slices.IndexFunc(scales, func(s scale) bool { return s.symbol == r.per })
	if i < 0 {
		at.wrong(0, "unit", "the unit does not suit a price of "+quoted(r.Item), quoted(r.per),
			oneOf(symbols(scales))+"; prices are written with $ whatever the currency")
		return nil
	}
	sound := true
	money := func(name, written string) float64 {
		v, ok := scales[i].parse([]byte(written))
		if !ok {
			sound = false
			at.wrong(0, name, "the number cannot be read", quoted(written), expectedNumber(written))
		}
		return v
	}
	p := &season.Price{Item: r.Item, Day: r.Day, By: r.By}
	if isPass(r.Item) {
		p.Pass = unit.MoneyPerArea(money("price", r.price))
		if r.low != "" || r.high != "" {
			sound = false
			at.wrong(0, "low", "a pass has one price, without low and high", quoted(r.low+" "+r.high), "empty cells")
		}
	} else {
		p.Price = unit.PricePerMass(money("price", r.price))
		p.Low, p.High = p.Price, p.Price
		if r.low != "" {
			p.Low = unit.PricePerMass(money("low", r.low))
		}
		if r.high != "" {
			p.High = unit.PricePerMass(money("high", r.high))
		}
	}
	if !sound {
		return nil
	}
	return p
}

func symbols(scales []scale) []string {
	var list []string
	for _, s := range scales {
		list = append(list, s.symbol)
	}
	return list
}

func priceColumns(*known) []column[priceRow] {
	type row = priceRow
	return []column[row]{
		text("item", func(r *row) *string { return &r.Item }).must(),
		money("price", func(r *row) *string { return &r.price }, func(p *season.Price) (float64, bool) {
			if isPass(p.Item) {
				return float64(p.Pass), true
			}
			return float64(p.Price), true
		}).must(),
		money("low", func(r *row) *string { return &r.low }, func(p *season.Price) (float64, bool) {
			return float64(p.Low), p.Low != p.Price
		}),
		money("high", func(r *row) *string { return &r.high }, func(p *season.Price) (float64, bool) {
			return float64(p.High), p.High != p.Price
		}),
		{
			heads: []string{"unit"},
			read:  func(c *found, r *row) { r.per = c.String() },
			write: func(r *row, system unit.System) (int, string) {
				scales := prices(r.Item)
				return 0, scales[forSystem(scales, system)].symbol
			},
			required: true, filled: true,
		},
		date("date", func(r *row) *calendar.Day { return &r.Day }).must(),
		text("by", func(r *row) *string { return &r.By }),
	}
}

// money keeps a number as it stands until the row's unit is known, and writes an amount in the item's unit.
func money(name string, at func(*priceRow) *string, get func(*season.Price) (float64, bool)) column[priceRow] {
	return column[priceRow]{
		heads: []string{name},
		read:  func(c *found, row *priceRow) { *at(row) = c.String() },
		write: func(row *priceRow, system unit.System) (int, string) {
			v, given := get(&row.Price)
			if !given {
				return 0, ""
			}
			scales := prices(row.Item)
			return 0, scales[forSystem(scales, system)].format(v)
		},
	}
}
