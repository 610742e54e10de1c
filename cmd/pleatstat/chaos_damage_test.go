//go:build linux

package main

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// chaosBase is an undamaged log.
type chaosBase struct {
	name, ext string
	data      []byte
	records   [][]string // of a plain CSV file with the header first, else nil
	rows      int        // of a workbook
}

// chaosBases returns parts of the demo log and the logs that other programs wrote.
func chaosBases(t *testing.T) []chaosBase {
	t.Helper()
	demo, err := os.ReadFile(demoLog)
	if err != nil {
		t.Fatal(err)
	}
	records, err := csv.NewReader(bytes.NewReader(demo)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var bases []chaosBase
	for _, part := range [][2]int{{1, 41}, {41, 81}, {81, 121}, {121, 161}, {161, 201}, {201, 261}, {100, 180}, {1, 121}, {141, 261},
		{20, 120}, {120, 220}, {60, 180}, {80, 260}, {200, 210}, {250, 253}, {40, 41}, {1, 261}} {
		some := slices.Concat(records[:1], records[part[0]:part[1]])
		bases = append(bases, chaosBase{name: fmt.Sprintf("harbour.csv, rows %d to %d", part[0], part[1]-1), ext: ".csv", data: asCSV(some), records: some})
	}
	paths, err := filepath.Glob("../../testdata/logs/*.*")
	if err != nil || len(paths) == 0 {
		t.Fatal("no logs", err)
	}
	for _, path := range paths {
		b := chaosBase{name: filepath.Base(path), ext: filepath.Ext(path)}
		if b.data, err = os.ReadFile(path); err != nil {
			t.Fatal(err)
		}
		switch b.ext {
		case ".md":
			continue
		case ".xlsx", ".ods":
			check := exec.Command(os.Args[0], "check", path, "--json")
			check.Env = append(os.Environ(), asCommand+"="+os.DevNull)
			out, _ := check.Output() // exit code 3 if the log has errors; without JSON there is nothing to compare
			var doc struct{ Log struct{ Rows int } }
			if json.Unmarshal(out, &doc) == nil {
				b.rows = doc.Log.Rows
			}
			bases = append(bases, b, b, b) // three times: workbooks break in more ways than texts
		}
		bases = append(bases, b)
	}
	return bases
}

func asCSV(records [][]string) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.WriteAll(records); err != nil {
		panic(err)
	}
	return b.Bytes()
}

// damaged is a log after damage.
type damaged struct {
	data       []byte
	kind, what string
	rows       int  // rows that must be read or reported, 0 = not known
	same       bool // it must be refused or read with as many rows as before
}

func damage(rng *rand.Rand, base chaosBase) damaged {
	var ways []func(*rand.Rand, chaosBase) damaged
	switch {
	case base.ext == ".xlsx" || base.ext == ".ods":
		ways = append(ways, flipBits, cutOut, flipInPart, changePart, changePart)
	case base.records != nil:
		ways = append(ways, flipBits, cutOut, changeCells, changeCells, changeCells, changeDates, changeHeader, reencode, mixLineEnds)
	default:
		ways = append(ways, flipBits, cutOut, mixLineEnds)
	}
	return ways[rng.IntN(len(ways))](rng, base)
}

func isWorkbook(b chaosBase) bool { return b.ext == ".xlsx" || b.ext == ".ods" }

// flipBits inverts one to eight bits.
func flipBits(rng *rand.Rand, base chaosBase) damaged {
	data := bytes.Clone(base.data)
	n := 1 + rng.IntN(8)
	for range n {
		data[rng.IntN(len(data))] ^= 1 << rng.IntN(8)
	}
	return damaged{data: data, kind: "bits", what: fmt.Sprintf("%d bits flipped", n), same: isWorkbook(base) && base.rows > 0}
}

// cutOut drops the end or a piece, or repeats a piece.
func cutOut(rng *rand.Rand, base chaosBase) damaged {
	from := rng.IntN(len(base.data))
	to := from + rng.IntN(len(base.data)-from)
	d := damaged{kind: "cut", same: isWorkbook(base) && base.rows > 0}
	switch rng.IntN(3) {
	case 0:
		d.data, d.what = bytes.Clone(base.data[:from]), fmt.Sprintf("cut after %d bytes", from)
	case 1:
		d.data, d.what = slices.Concat(base.data[:from], base.data[to:]), fmt.Sprintf("bytes %d to %d lost", from, to)
	default:
		d.data, d.what = slices.Concat(base.data[:to], base.data[from:]), fmt.Sprintf("bytes %d to %d twice", from, to)
	}
	return d
}

// oddCells are cells as logs have held them, or could.
var oddCells = []string{"", " ", "-", "?", "n/a", "0", "-1", "1e308", "1e-400", "-1e309", "NaN", "Inf", "1,234", "1.234,5", "1.2.3", "--5", "0x10", "1_000",
	"=1+1", "@x", "+1", "'5", `"`, `""`, "\x1b[2J", "\u202e5", "\u0000", "\ufeff5", "\xff\xfe", "a\nb", "\r", "41 3/8", "41 3/0", "½", "5½", "٣", "１２", "1 234", "1\u00a0234", "1'234",
	"0.47; 0.48; 0.48", "0.47; x", ";", "; ;", "19/19.3/19.4", "~0.5", "about 60", "62 (est)", "2.3?", "12.99 (2 pack)", "€5", "USD 12 EUR", "$", "5 kg", "1e3 mm", "5 furlongs", "5 in 3 mm",
	"100%", "1e5 %", "yes", "YES", "✓", "black rubber", "synthetic", "Skerrow", "skerrow", "SKERROW ", "Skerow", "Sker\u00adrow", "Veldmarsh+", "=HYPERLINK(\"x\")", "<b>", "../../x", "CON",
	"2042-01-01", "1899-12-31", "2024-13-45", "00/2024", "2024-02-30", "44927", "maker", "part", strings.Repeat("9", 400), strings.Repeat("word ", 400), strings.Repeat("A", 3000), strings.Repeat("é", 20000)}

// changeCells puts odd texts into one to twenty cells, or the same one into a whole
// column.
func changeCells(rng *rand.Rand, base chaosBase) damaged {
	records := cloneRecords(base.records)
	var told []string
	if rng.IntN(4) == 0 {
		column, cell := rng.IntN(len(records[0])), oddCells[rng.IntN(len(oddCells))]
		for _, r := range records[1:] {
			r[column] = cell
		}
		told = append(told, fmt.Sprintf("column %s all %.20q", records[0][column], cell))
	} else {
		for range 1 + rng.IntN(20) {
			row, column, cell := 1+rng.IntN(len(records)-1), rng.IntN(len(records[0])), oddCells[rng.IntN(len(oddCells))]
			if rng.IntN(3) == 0 {
				column = rng.IntN(3) // date, maker and part: everything else depends on these
			}
			records[row][column] = cell
			told = append(told, fmt.Sprintf("row %d %s = %.20q", row+1, records[0][column], cell))
		}
	}
	return cellDamage("cells", records, told)
}

// changeDates puts odd dates, or one odd way of writing dates, into the log.
func changeDates(rng *rand.Rand, base chaosBase) damaged {
	odd := []string{"0001-01-01", "9999-12-31", "2042-06-01", "1900-01-01", "31/12/24", "12/31/24", "1/2/24", "2024", "24", "2024-1", "20240308", "45000", "-5", "0", "2024-02-30", "8 Mar 2024", "March", "2024-03-08T10:00:00Z", "2024-03-08 24:61", "8.3.24", "2024/3/8", "2024-W10"}
	records := cloneRecords(base.records)
	var told []string
	cell := odd[rng.IntN(len(odd))]
	for i, r := range records[1:] {
		if rng.IntN(3) == 0 {
			continue
		}
		if rng.IntN(2) == 0 {
			cell = odd[rng.IntN(len(odd))]
		}
		r[0] = cell
		told = append(told, fmt.Sprintf("row %d %s", i+2, cell))
	}
	return cellDamage("dates", records, told)
}

func cellDamage(kind string, records [][]string, told []string) damaged {
	return damaged{data: asCSV(records), kind: kind, what: strings.Join(told, ", "), rows: withContent(records[1:])}
}

// withContent counts the rows that hold anything but blanks.
func withContent(records [][]string) int {
	n := 0
	for _, r := range records {
		if strings.TrimSpace(strings.Join(r, "")) != "" {
			n++
		}
	}
	return n
}

// changeHeader renames, drops, duplicates or swaps columns.
func changeHeader(rng *rand.Rand, base chaosBase) damaged {
	records := cloneRecords(base.records)
	header := records[0]
	var told []string
	for range 1 + rng.IntN(4) {
		i, j := rng.IntN(len(header)), rng.IntN(len(header))
		switch rng.IntN(4) {
		case 0:
			header[i] = oddCells[rng.IntN(len(oddCells))]
		case 1:
			header[i] = header[j]
		case 2:
			header[i], header[j] = header[j], header[i]
		default:
			header[i] += " (in)"
		}
		told = append(told, fmt.Sprintf("header %d, %d", i, j))
	}
	return damaged{data: asCSV(records), kind: "header", what: strings.Join(told, ", ")}
}

// reencode writes the log in another encoding, not always correctly.
func reencode(rng *rand.Rand, base chaosBase) damaged {
	encodings := []encoding.Encoding{unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM),
		unicode.UTF8BOM, charmap.Windows1252, charmap.CodePage437, charmap.ISO8859_15, charmap.KOI8R}
	i := rng.IntN(len(encodings))
	data, err := encoding.ReplaceUnsupported(encodings[i].NewEncoder()).Bytes(base.data)
	if err != nil {
		panic(err)
	}
	if rng.IntN(4) == 0 {
		data = data[:len(data)-1] // half a character at the end, where two bytes make one
	}
	return damaged{data: data, kind: "encoding", what: fmt.Sprint(encodings[i])}
}

// mixLineEnds ends each line in one of several ways.
func mixLineEnds(rng *rand.Rand, base chaosBase) damaged {
	ends := []string{"\n", "\r\n", "\r", "\n\n", "\n\r\n"}
	var b bytes.Buffer
	for line := range strings.Lines(string(base.data)) {
		b.WriteString(strings.TrimRight(line, "\r\n"))
		b.WriteString(ends[min(rng.IntN(12), len(ends)-1)])
	}
	return damaged{data: b.Bytes(), kind: "line ends", what: "mixed line ends"}
}

// flipInPart flips bits in the unpacked text of one part of a workbook, so that the
// archive around it stays valid.
func flipInPart(rng *rand.Rand, base chaosBase) damaged {
	d := damaged{kind: "bits in a part"}
	d.data, d.what = repack(rng, base.data, func(data []byte) []byte {
		for range 1 + rng.IntN(4) {
			if len(data) > 0 {
				data[rng.IntN(len(data))] ^= 1 << rng.IntN(8)
			}
		}
		return data
	})
	return d
}

var inXML = regexp.MustCompile(`>[^<]+<`)

// changePart replaces text between the tags of one part of a workbook, or drops a piece
// of the part.
func changePart(rng *rand.Rand, base chaosBase) damaged {
	d := damaged{kind: "a part changed"}
	d.data, d.what = repack(rng, base.data, func(data []byte) []byte {
		if rng.IntN(3) == 0 && len(data) > 1 {
			from := rng.IntN(len(data))
			return slices.Concat(data[:from], data[from+rng.IntN(len(data)-from):])
		}
		return inXML.ReplaceAllFunc(data, func(found []byte) []byte {
			if rng.IntN(10) > 0 {
				return found
			}
			return []byte(">" + oddCells[rng.IntN(len(oddCells))] + "<")
		})
	})
	return d
}

// repack changes one part of an archive.
func repack(rng *rand.Rand, archive []byte, change func([]byte) []byte) ([]byte, string) {
	r, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		panic(err)
	}
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	at := rng.IntN(len(r.File))
	if sheet := slices.IndexFunc(r.File, func(f *zip.File) bool {
		return strings.HasPrefix(f.Name, "xl/worksheets/") || f.Name == "content.xml"
	}); sheet >= 0 && rng.IntN(2) == 0 {
		at = sheet
	}
	for i, f := range r.File {
		in, err := f.Open()
		if err != nil {
			panic(err)
		}
		data, err := io.ReadAll(in)
		if err != nil {
			panic(err)
		}
		if i == at {
			data = change(data)
		}
		out, err := w.Create(f.Name)
		if err != nil {
			panic(err)
		}
		out.Write(data) // to memory
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return b.Bytes(), r.File[at].Name + " changed"
}

func cloneRecords(records [][]string) [][]string {
	out := make([][]string, len(records))
	for i, r := range records {
		out[i] = slices.Clone(r)
	}
	return out
}
