package reader

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"pleatstat/dataset/catalogue"
	"pleatstat/dataset/internal/cellparse"
	"pleatstat/dataset/internal/cells"
	"pleatstat/dataset/internal/header"
	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/units"
)

// number reads a numeric cell and returns its value in the column's unit, or in
// the base unit if the cell states a unit of its own.
func (p *Pass) number(c *cells.Column, text string, row int32, line int) float64 {
	var err error
	p.read = append(p.read[:0], cellparse.Number{})
	quick := cellparse.Quick(text, p.style.mark, &p.read[0])
	if !quick {
		if cellparse.IsBlank(text) {
			return math.NaN()
		}
		p.read, err = cellparse.ParseReadings(p.read[:0], text, p.style.mark)
	}
	if len(p.read) == 1 { // several readings are text to a spreadsheet, which does not convert them
		p.weigh(p.read[0], text)
	}
	own := false
	if err == nil {
		own, err = p.ownUnit(c, row)
	}
	if err != nil && c.Name == catalogue.ClaimColumn {
		return p.claim(c, text, row, line)
	}
	if err == nil && !quick { // only cells that are not plain numbers can state a pack
		err = p.perPack(c, row)
	}
	if err != nil {
		p.badCell(c, line, text, err.Error())
		return math.NaN()
	}
	if own {
		c.Own = append(c.Own, row)
	} else {
		c.Other++
	}
	for _, n := range p.read {
		if n.Decimals < 0 {
			c.Broken++
		} else if !own || len(c.OwnUnit) == 1 {
			c.Places[min(n.Decimals, len(c.Places)-1)]++
		}
		if n.Approx && (len(c.Approx) == 0 || c.Approx[len(c.Approx)-1] != row) {
			c.Approx = append(c.Approx, row)
		}
		if len(p.read) == 1 && against(n.Evidence, p.style.mark) {
			p.report(line, c.Field+1, c.Name, text, fmt.Sprintf("read as %g, though the file writes decimals with a %s", n.Value, markName(p.style.mark)), problem.Note)
		}
	}
	if len(p.read) == 1 {
		return p.read[0].Value
	}
	p.values = p.values[:0]
	for _, n := range p.read {
		p.values = append(p.values, n.Value)
	}
	mean, sd := cells.Spread(p.values)
	c.Repeats = append(c.Repeats, cells.Repeat{Row: int(row), N: len(p.values), SD: sd})
	return mean
}

// ownUnit converts readings by the units written in the cell itself. It returns
// true if the values are now in the base unit.
func (p *Pass) ownUnit(c *cells.Column, row int32) (bool, error) {
	own := false
	for i := range p.read {
		n := &p.read[i]
		if n.Unit == "" {
			if own {
				return false, errors.New("has a unit behind some readings only; write it behind all or none")
			}
			continue
		}
		switch c.Def.Kind {
		case catalogue.KindMoney:
			sign := cellparse.Currency(n.Unit)
			if sign == "" {
				return false, fmt.Errorf("%q is no currency that is known; write a sign or a code such as EUR", n.Unit)
			}
			p.money[row] = uint8(min(p.currencies.Code(sign), 255))
			continue
		case catalogue.KindCount:
			if !header.CountWord(n.Unit) {
				return false, fmt.Errorf("%q stands behind a count; write the number alone", n.Unit)
			}
			continue
		case catalogue.KindNumber:
			return false, fmt.Errorf("%q stands behind the number; put the unit into the header", n.Unit)
		}
		d, _ := c.Dimension()
		u, ok := units.Find(strings.TrimSuffix(n.Unit, "."), d)
		if !ok {
			return false, fmt.Errorf("%q is no unit of %s that is known", n.Unit, d)
		}
		if i > 0 && !own {
			return false, errors.New("has a unit behind some readings only; write it behind all or none")
		}
		n.Value *= u.Base
		own = true
		if c.OwnUnit == nil {
			c.OwnUnit = map[string]int{}
		}
		c.OwnUnit[u.Symbol]++
	}
	return own, nil
}

// perPack divides prices that the cell says are for several filters.
func (p *Pass) perPack(c *cells.Column, row int32) error {
	for i := range p.read {
		n := &p.read[i]
		switch {
		case n.Pack == 0:
		case c.Def.Kind != catalogue.KindMoney:
			return fmt.Errorf("is said of a pack of %d; write the value of one filter alone", n.Pack)
		default:
			n.Value /= float64(n.Pack)
			p.Packed = append(p.Packed, row)
		}
	}
	return nil
}
