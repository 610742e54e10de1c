package dataset

import (
	"fmt"
	"slices"
	"strings"

	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/spelling"
)

// Label is the maker and the part number printed on a filter.
type Label struct {
	Maker string `json:"maker"`
	Part  string `json:"part"`
}

func (l Label) String() string { return strings.TrimSpace(l.Maker + " " + l.Part) }

const (
	sameAs = "same_as"
	madeBy = "made_by"
)

// folded returns the key under which labels are compared: without case, spaces
// and dashes.
func (l Label) folded() string { return spelling.Fold(l.Maker) + "\x00" + spelling.Fold(l.Part) }

// joinTwins makes one product of all labels of one filter. Two labels are
// joined if same_as of one names the other, as "Maker Part" or as the part
// alone (then of the maker in made_by, else the only part with that number), or
// if made_by names a maker that has a part with the same number. Names in
// same_as that are not in the log are reported in one note.
func (l *Log) joinTwins() {
	same, by := l.byName[sameAs], l.byName[madeBy]
	if same == nil && by == nil {
		return
	}
	l.label, l.labels = l.product, l.products
	first := l.firstRows()
	whole, byPart, spelled := map[string]int{}, map[string][]int{}, map[string]int{}
	for id, row := range first {
		name := l.labelOf(row)
		if name.Part == "" {
			continue
		}
		whole[name.folded()] = id
		spelled[spelling.Fold(name.Maker+name.Part)] = id
		byPart[spelling.Fold(name.Part)] = append(byPart[spelling.Fold(name.Part)], id)
	}
	joined := make([]int, l.labels) // union-find: parent of each label, a root is its own parent
	for id := range joined {
		joined[id] = id
	}
	root := func(id int) int {
		for joined[id] != id {
			id = joined[id]
		}
		return id
	}
	join := func(a, b int) {
		a, b = root(a), root(b)
		joined[max(a, b)] = min(a, b)
	}
	var unknown problem.Unread
	for row := range l.lines {
		own := l.labelOf(row)
		if own.Part == "" {
			continue
		}
		id := int(l.label[row])
		maker := l.Word(row, madeBy)
		if at, ok := whole[Label{maker, own.Part}.folded()]; ok && maker != "" {
			join(id, at)
		}
		named := l.Word(row, sameAs)
		if named == "" {
			continue
		}
		at, ok := spelled[spelling.Fold(named)]
		if !ok && maker != "" {
			at, ok = whole[Label{maker, named}.folded()]
		}
		if parts := byPart[spelling.Fold(named)]; !ok && len(parts) == 1 {
			at, ok = parts[0], true
		}
		if !ok {
			unknown.Add(int(l.lines[row]), named)
			continue
		}
		join(id, at)
	}
	if unknown.Cells > 0 {
		message := fmt.Sprintf("no part of the log has this name or, without its maker, one of several (line %d)", unknown.Line)
		if unknown.Cells > 1 {
			message = fmt.Sprintf("%d cells name no part of the log or, without its maker, one of several, the first in line %d", unknown.Cells, unknown.Line)
		}
		l.report(same, l.layout.Line, unknown.Text, Note, message+"; write maker and part as the log spells them")
	}
	own := make([]int32, len(l.label)) // by row, the root label of its product
	for row, id := range l.label {
		own[row] = int32(root(int(id)))
	}
	l.product, l.products = renumbered(own)
	l.settleLabels()
}

// settleLabels drops the labels if each product has only one; otherwise it
// records the first opening of each product.
func (l *Log) settleLabels() {
	if l.labels == l.products {
		l.label, l.labels = nil, 0
		return
	}
	l.firstOf = l.firstRows()
}

// firstRows returns the row of the first opening of each product.
func (l *Log) firstRows() []int {
	out := make([]int, 0, l.products)
	for row, id := range l.product {
		if int(id) == len(out) { // numbered in order of first appearance
			out = append(out, row)
		}
	}
	return out
}

func (l *Log) labelOf(row int) Label { return Label{l.Word(row, "maker"), l.Word(row, "part")} }

// Label returns the index of an opening's pair of maker and part, below Labels.
// It equals Product unless some filters appear under several labels.
func (l *Log) Label(row int) int {
	if l.label == nil {
		return l.Product(row)
	}
	return int(l.label[row])
}

// Labels returns the number of different pairs of maker and part.
func (l *Log) Labels() int {
	if l.label == nil {
		return l.products
	}
	return l.labels
}

// NameOf returns the name of an opening's product: its own label or, for a
// product with several, the first in the log.
func (l *Log) NameOf(row int) Label {
	if l.label == nil {
		return l.labelOf(row)
	}
	return l.labelOf(l.firstOf[l.product[row]])
}

// Twins returns the labels of each product that appears in the log under
// several, in the order of the log.
func (l *Log) Twins() [][]Label {
	if l.label == nil {
		return nil
	}
	each := map[int32][]Label{}
	for row, id := range l.product {
		if name := l.labelOf(row); !slices.Contains(each[id], name) {
			each[id] = append(each[id], name)
		}
	}
	var out [][]Label
	for id := range int32(l.products) {
		if len(each[id]) > 1 {
			out = append(out, each[id])
		}
	}
	return out
}
