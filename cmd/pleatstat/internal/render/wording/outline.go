package wording

import (
	"strings"
)

// BlockKind is the kind of a block of text.
type BlockKind int

// Kinds of blocks. A PreformattedBlock is a line of a table, with its spacing.
const (
	HeadingBlock BlockKind = iota
	ParaBlock
	ItemBlock
	EvidenceBlock
	PreformattedBlock
)

// Block is one heading, sentence or line of a text, not wrapped, made visible (see
// Visible).
type Block struct {
	Kind BlockKind
	Text string
}

// Outline returns what write writes as blocks, for a page that does its own layout.
func Outline(write func(*Text)) []Block {
	var t Text
	t.blocks = &[]Block{}
	write(&t)
	return *t.blocks
}

// keep adds a block if the text is collected as blocks, and reports whether it is.
func (t *Text) keep(kind BlockKind, s string) bool {
	if t.blocks == nil {
		return false
	}
	if s = strings.TrimRight(Visible(s), " "); s != "" {
		*t.blocks = append(*t.blocks, Block{kind, s})
	}
	return true
}

// kindOf returns the kind of a paragraph whose first line begins with first.
func kindOf(first string) BlockKind {
	switch first {
	case "- ":
		return ItemBlock
	case "    ", "  ":
		return EvidenceBlock
	}
	return ParaBlock
}
