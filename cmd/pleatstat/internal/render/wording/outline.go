package wording

import (
	"strings"
)

// BlockKind says what a block of a text is.
type BlockKind int

// Kinds of blocks. A Laid block is a line of a table, as it is laid out.
const (
	HeadingBlock BlockKind = iota
	ParaBlock
	ItemBlock
	EvidenceBlock
	LaidBlock
)

// Block is one heading, sentence or line of a text, not wrapped, shown harmlessly
// (see Visible).
type Block struct {
	Kind BlockKind
	Text string
}

// Outline gives what write writes as blocks, for a page that lays them out itself.
func Outline(write func(*Text)) []Block {
	var t Text
	t.blocks = &[]Block{}
	write(&t)
	return *t.blocks
}

// keep adds a block where the text is taken as blocks.
func (t *Text) keep(kind BlockKind, s string) bool {
	if t.blocks == nil {
		return false
	}
	if s = strings.TrimRight(Visible(s), " "); s != "" {
		*t.blocks = append(*t.blocks, Block{kind, s})
	}
	return true
}

// kindOf tells a paragraph's kind by how far it is set in.
func kindOf(first string) BlockKind {
	switch first {
	case "- ":
		return ItemBlock
	case "    ", "  ":
		return EvidenceBlock
	}
	return ParaBlock
}
