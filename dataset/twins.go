package dataset

import (
	"fmt"
	"slices"
	"strings"

	"pleatstat/dataset/internal/problem"
	"pleatstat/dataset/internal/spelling"
)

// Label is a maker and a part as they stand on a filter.
type Label struct {
	Maker string `json:"maker"`
	Part  string `json:"part"`
}

func (l Label) String() string { return strings.TrimSpace(l.Maker + " " + l.Part) }

const (
	sameAs = "same_as"
	madeBy = "made_by"
)

// folded is a name as twins are looked up by.
func (l Label) folded() string { return spelling.Fold(l.Maker) + "\x00" + spelling.Fold(l.Part) }

// joinTwins makes one product of the labels of one filter: those that same_as
// names, as "Maker Part" or as the part alone (of the maker in made_by, else the
// only one with that number), and a part that bears the number of the maker by
// whom it was made. What same_as names and the log does not have is said once.
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
	joined := make([]int, l.labels) // union of labels: each points to one of its own, the root to itself
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
		l.tell(same, l.layout.Line, unknown.Text, Note, message+"; write maker and part as the log spells them")
	}
	own := make([]int32, len(l.label)) // each product by its first label
	for row, id := range l.label {
		own[row] = int32(root(int(id)))
	}
	l.product, l.products = renumbered(own)
	l.settleLabels()
}

// settleLabels forgets the labels where each product has one.
func (l *Log) settleLabels() {
	if l.labels == l.products {
		l.label, l.labels = nil, 0
		return
	}
	l.firstOf = l.firstRows()
}

// firstRows are the first openings of each product.
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

// Label returns the number of an opening's maker and part, below Labels: that of
// its product but for filters under several labels, which are one product.
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

// NameOf returns the name of an opening's product: its own, or that of the first
// of its labels in the log.
func (l *Log) NameOf(row int) Label {
	if l.label == nil {
		return l.labelOf(row)
	}
	return l.labelOf(l.firstOf[l.product[row]])
}

// Twins lists the products that stand in the log under several labels, each with
// its own first, in order of the log.
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
