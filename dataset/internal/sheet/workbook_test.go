package sheet

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// part is one file of a workbook made by hand.
type part struct{ name, text string }

const (
	xlsxSpace  = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"`
	relations  = `http://schemas.openxmlformats.org/officeDocument/2006/relationships`
	odsSpaces  = `xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:style="urn:oasis:names:tc:opendocument:xmlns:style:1.0" xmlns:draw="urn:oasis:names:tc:opendocument:xmlns:drawing:1.0"`
	plainRows  = `<row r="1"><c r="A1" t="inlineStr"><is><t>maker</t></is></c><c r="B1" t="inlineStr"><is><t>pleats</t></is></c></row>`
	plainTable = "maker,pleats\n"
)

// xlsxOf returns a workbook of one sheet with the given rows.
func xlsxOf(rows string) []part {
	return []part{
		{"xl/workbook.xml", `<workbook ` + xlsxSpace + `><sheets><sheet name="2024" sheetId="1" r:id="rId1"/></sheets></workbook>`},
		{"xl/_rels/workbook.xml.rels", `<Relationships><Relationship Id="rId1" Type="` + relations + `/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`},
		{"xl/worksheets/sheet1.xml", `<worksheet ` + xlsxSpace + `><sheetData>` + rows + `</sheetData></worksheet>`},
	}
}

// odsOf returns an OpenDocument workbook of one sheet with the given rows.
func odsOf(rows string) []part {
	return []part{
		{"mimetype", "application/vnd.oasis.opendocument.spreadsheet"},
		{"content.xml", `<office:document-content ` + odsSpaces + `><office:body><office:spreadsheet><table:table table:name="2024">` + rows + `</table:table></office:spreadsheet></office:body></office:document-content>`},
	}
}

func zipped(t testing.TB, parts []part) []byte {
	t.Helper()
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		w, err := z.Create(p.name)
		if err == nil {
			_, err = io.WriteString(w, p.text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func openParts(t testing.TB, parts []part, o Options) (*File, error) {
	return Open(bytes.NewReader(zipped(t, parts)), 0, o)
}

// TestCells checks the text that each kind of cell is read as.
func TestCells(t *testing.T) {
	styles := `<styleSheet ` + xlsxSpace + `><numFmts><numFmt numFmtId="164" formatCode="[$€-407]#,##0.00;[Red]-0"/><numFmt numFmtId="165" formatCode="yyyy\-mm\-dd;@"/><numFmt numFmtId="166" formatCode="0.0&quot; mm&quot;"/><numFmt numFmtId="167" formatCode="h:mm"/></numFmts>
<cellStyleXfs><xf numFmtId="9"/></cellStyleXfs><cellXfs><xf numFmtId="0"/><xf numFmtId="10"/><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="166"/><xf numFmtId="44"/><xf numFmtId="167"/></cellXfs></styleSheet>`
	texts := `<sst ` + xlsxSpace + `><si><t>Skerrow</t></si><si><r><t>Low</t></r><r><t xml:space="preserve">mere </t></r><rPh sb="0" eb="1"><t>no</t></rPh></si></sst>`
	for _, c := range []struct{ cell, want string }{
		{`<c r="A1"><v>41.375</v></c>`, "41.375"},
		{`<c r="A1"><v>0.30000000000000004</v></c>`, "0.3"},
		{`<c r="A1"><v>4.7E-1</v></c>`, "0.47"},
		{`<c r="A1" t="n"><v>-3</v></c>`, "-3"},
		{`<c r="A1" t="s"><v>0</v></c>`, "Skerrow"},
		{`<c r="A1" t="s"><v>1</v></c>`, "Lowmere "},
		{`<c r="A1" t="inlineStr"><is><r><t>a</t></r><r><t>b_x0041_</t></r></is></c>`, "abA"},
		{`<c r="A1" t="str"><f>"x"&amp;"y"</f><v>xy</v></c>`, "xy"},
		{`<c r="A1" t="b"><v>1</v></c>`, "TRUE"},
		{`<c r="A1" t="e"><f>1/0</f><v>#DIV/0!</v></c>`, "#DIV/0!"},
		{`<c r="A1" s="1"><v>0.985</v></c>`, "98.5%"},
		{`<c r="A1" s="2"><v>8.99</v></c>`, "€8.99"},
		{`<c r="A1" s="5"><v>8.99</v></c>`, "$8.99"},
		{`<c r="A1" s="3"><v>45359.75</v></c>`, "2024-03-08"},
		{`<c r="A1" s="4"><v>41.3</v></c>`, "41.3"},
		{`<c r="A1" s="6"><v>0.5</v></c>`, "0.5"},
		{`<c><v>7</v></c>`, "7"},
		{`<c r="B1"><v>7</v></c>`, ",7"},
	} {
		parts := xlsxOf(`<row>` + c.cell + `</row>`)
		parts[1].text = strings.Replace(parts[1].text, "</Rel", `<Relationship Id="s" Type="`+relations+`/styles" Target="/xl/styles.xml"/><Relationship Id="t" Type="`+relations+`/sharedStrings" Target="sharedStrings.xml"/></Rel`, 1)
		f, err := openParts(t, append(parts, part{"xl/styles.xml", styles}, part{"xl/sharedStrings.xml", texts}), Options{})
		if err != nil || string(f.Texts[0].Data) != c.want+"\n" {
			t.Errorf("%s: %v, %+v, want %q", c.cell, err, f, c.want)
		}
	}
	for _, c := range []struct{ cell, want string }{
		{`<table:table-cell office:value-type="float" office:value="41.375"><text:p>41</text:p></table:table-cell>`, "41.375"},
		{`<table:table-cell office:value-type="percentage" office:value="0.985"><text:p>99 %</text:p></table:table-cell>`, "98.5%"},
		{`<table:table-cell office:value-type="currency" office:currency="EUR" office:value="8.99"><text:p>9 €</text:p></table:table-cell>`, "EUR8.99"},
		{`<table:table-cell office:value-type="date" office:date-value="2024-03-08T18:00:00"><text:p>8 March</text:p></table:table-cell>`, "2024-03-08"},
		{`<table:table-cell office:value-type="boolean" office:boolean-value="true"/>`, "TRUE"},
		{`<table:table-cell office:value-type="string"><office:annotation><text:p>a remark</text:p></office:annotation><text:p>Sker<text:span>row<text:s text:c="3"/>x</text:span></text:p><text:p>two</text:p><draw:frame><draw:text-box><text:p>no</text:p></draw:text-box></draw:frame></table:table-cell>`, "\"Skerrow x\ntwo\""},
		{`<table:table-cell table:number-columns-repeated="3"/><table:table-cell office:value-type="float" office:value="7" table:number-columns-repeated="2"/><table:table-cell table:number-columns-repeated="16000"/>`, ",,,7,7"},
		{`<table:covered-table-cell/><table:table-cell office:value-type="float" office:value="7"/>`, ",7"},
	} {
		f, err := openParts(t, odsOf(`<table:table-row>`+c.cell+`</table:table-row>`), Options{})
		if err != nil || string(f.Texts[0].Data) != c.want+"\n" {
			t.Errorf("%s: %v, %+v, want %q", c.cell, err, f, c.want)
		}
	}
}

// TestRepeatedRows: a row marked as repeated three times is read three times; a
// million blank rows below are skipped.
func TestRepeatedRows(t *testing.T) {
	row := func(n int, cell string) string {
		return fmt.Sprintf(`<table:table-row table:number-rows-repeated="%d">%s</table:table-row>`, n, cell)
	}
	f, err := openParts(t, odsOf(row(2, "<table:table-cell/>")+row(3, `<table:table-cell office:value-type="float" office:value="7"/>`)+
		row(1, `<table:table-cell office:value-type="float" office:value="8"/>`)+row(1<<20, `<table:table-cell table:number-columns-repeated="1024"/>`)), Options{})
	if err != nil {
		t.Fatal(err)
	}
	text := f.Texts[0]
	if string(text.Data) != "7\n7\n7\n8\n" || text.SourceLine(1) != 3 || text.SourceLine(3) != 5 || text.SourceLine(4) != 6 {
		t.Errorf("%q, rows %v", text.Data, text.rows)
	}
}

// TestFormulasWithoutValue: formulas without a stored value are listed and read
// as blank; an empty text is a stored value.
func TestFormulasWithoutValue(t *testing.T) {
	f, err := openParts(t, xlsxOf(`<row r="4"><c r="B4"><f>A4*2</f></c><c r="C4"><f>A4*2</f><v>9</v></c><c r="D4" t="str"><f>""</f><v></v></c></row>`), Options{})
	if err != nil || !slices.Equal(f.Texts[0].Formulas, []Formula{{4, 2, "=A4*2"}}) || string(f.Texts[0].Data) != ",,9\n" {
		t.Errorf("%v, %+v", err, f)
	}
	f, err = openParts(t, odsOf(`<table:table-row table:number-rows-repeated="2"><table:table-cell table:formula="of:=[.B1]*2"/><table:table-cell table:formula="of:=1" office:value-type="float" office:value="1"/></table:table-row>`), Options{})
	if err != nil || !slices.Equal(f.Texts[0].Formulas, []Formula{{1, 1, "=[.B1]*2"}, {2, 1, "=[.B1]*2"}}) || string(f.Texts[0].Data) != ",1\n,1\n" {
		t.Errorf("%v, %+v", err, f)
	}
}

// TestDamagedWorkbooks: a sheet that is truncated, malformed or has a wrong
// checksum is refused, naming the sheet and the row.
func TestDamagedWorkbooks(t *testing.T) {
	const more = `<row r="2"><c r="A2" t="inlineStr"><is><t>Skerrow</t></is></c></row>`
	for name, rows := range map[string]string{
		"cut":                  plainRows + more + `</sheetData></worksheet><!--`,
		"control character":    plainRows + `<row r="2"><c r="A2" t="inlineStr"><is><t>Sker` + "\x01" + `row</t></is></c></row>`,
		"bare ampersand":       plainRows + `<row r="2"><c r="A2" t="inlineStr"><is><t>Skerrow & Co</t></is></c></row>`,
		"broken UTF-8":         plainRows + `<row r="2"><c r="A2" t="inlineStr"><is><t>Sk` + "\xff" + `rrow</t></is></c></row>`,
		"elements not closed":  plainRows + `<row r="2"><c r="A2" t="inlineStr"><is><t>Skerrow</is></c></row>`,
		"no such text":         plainRows + `<row r="2"><c r="A2" t="s"><v>5</v></c></row>`,
		"no place":             plainRows + `<row r="2"><c r="17" t="s"><v>5</v></c></row>`,
		"a document type":      plainRows + more + `<!DOCTYPE x>`,
		"an entity of its own": plainRows + `<row r="2"><c r="A2" t="inlineStr"><is><t>&lol;</t></is></c></row>`,
		"deep":                 plainRows + more + strings.Repeat("<x>", 100_000),
	} {
		var e *FormatError
		_, err := openParts(t, xlsxOf(rows), Options{})
		if !errors.As(err, &e) || !strings.Contains(err.Error(), `"2024"`) || !strings.Contains(err.Error(), "row 2") && !strings.Contains(err.Error(), "row 1") {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, rows := range []string{"<table:table-row>", "<table:table-row>\x01</table:table-row>", "<table:table-row>& </table:table-row>"} {
		var e *FormatError
		if _, err := openParts(t, odsOf(rows), Options{}); !errors.As(err, &e) {
			t.Errorf("%q: %v", rows, err)
		}
	}
	for _, name := range []string{"workbook.xlsx", "libreoffice.xlsx", "libreoffice.ods"} {
		data, err := os.ReadFile("../../../testdata/logs/" + name)
		if err != nil {
			t.Fatal(err)
		}
		for _, cut := range []int{len(data) - 1, len(data) / 2, 100} {
			if _, err := Open(bytes.NewReader(data[:cut]), 0, Options{}); err == nil {
				t.Errorf("%s cut to %d bytes is read", name, cut)
			}
		}
	}
}

// wrongSum returns a workbook whose sheet has the checksum of another.
func wrongSum(t *testing.T, parts []part, last string) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, p := range parts {
		h := &zip.FileHeader{Name: p.name, Method: zip.Store, CRC32: crc32.ChecksumIEEE([]byte(p.text)), UncompressedSize64: uint64(len(p.text)), CompressedSize64: uint64(len(p.text))}
		if p.name == last {
			h.CRC32++
		}
		w, err := z.CreateRaw(h)
		if err == nil {
			_, err = io.WriteString(w, p.text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestWrongChecksum(t *testing.T) {
	for _, c := range []struct {
		parts []part
		part  string
	}{{xlsxOf(plainRows), "xl/worksheets/sheet1.xml"}, {xlsxOf(plainRows), "xl/workbook.xml"}, {odsOf("<table:table-row/>"), "content.xml"}} {
		if _, err := Open(bytes.NewReader(wrongSum(t, c.parts, "")), 0, Options{}); err != nil {
			t.Errorf("sound: %v", err)
		}
		_, err := Open(bytes.NewReader(wrongSum(t, c.parts, c.part)), 0, Options{})
		if err == nil || !strings.Contains(err.Error(), "checksum") {
			t.Errorf("%s: %v", c.part, err)
		}
	}
}

// TestBitFlips: flipping a single bit of the compressed sheet is detected or
// does not change what is read.
func TestBitFlips(t *testing.T) {
	for name, part := range map[string]string{"workbook.xlsx": "xl/worksheets/sheet1.xml", "libreoffice.xlsx": "xl/worksheets/sheet1.xml", "libreoffice.ods": "content.xml"} {
		data, err := os.ReadFile("../../../testdata/logs/" + name)
		if err != nil {
			t.Fatal(err)
		}
		want, err := Open(bytes.NewReader(data), 0, Options{})
		if err != nil {
			t.Fatal(err)
		}
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		from, length := int64(0), 0
		for _, f := range z.File {
			if f.Name == part {
				from, err = f.DataOffset()
				length = int(f.CompressedSize64)
			}
		}
		if err != nil || length == 0 {
			t.Fatalf("%s: %v", name, err)
		}
		r := rand.New(rand.NewPCG(19, 2))
		refused := 0
		for range 150 {
			flipped := slices.Clone(data)
			flipped[int(from)+r.IntN(length)] ^= 1 << r.IntN(8)
			got, err := Open(bytes.NewReader(flipped), 0, Options{})
			if err != nil {
				refused++
			} else if !bytes.Equal(got.Texts[0].Data, want.Texts[0].Data) || !slices.Equal(got.Texts[0].rows, want.Texts[0].rows) {
				t.Errorf("%s: a flipped bit is read as another log", name)
			}
		}
		t.Logf("%s: %d of 150 refused", name, refused)
	}
}

// TestBombs: a part that would unpack to more than the limit is refused before
// it is unpacked, even if the archive states a wrong size; a larger limit reads
// it.
func TestBombs(t *testing.T) {
	blank := strings.Repeat(" ", 1<<20)
	for name, parts := range map[string][]part{"xlsx": xlsxOf(plainRows + blank), "ods": odsOf("<table:table-row/>" + blank + blank)} {
		var e *LimitError
		_, err := openParts(t, parts, Options{Unpacked: 1 << 20})
		if !errors.As(err, &e) || !strings.Contains(err.Error(), "--unpacked") {
			t.Errorf("%s: %v", name, err)
		}
		if _, err := openParts(t, parts, Options{Unpacked: 3 << 20}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	cell := `<table:table-cell office:value-type="float" office:value="7" table:number-columns-repeated="2000"/>`
	for name, row := range map[string]string{
		"rows":     `<table:table-row table:number-rows-repeated="1000000">` + cell + `</table:table-row>`,
		"columns":  `<table:table-row>` + cell + cell + `</table:table-row>`,
		"formulas": `<table:table-row table:number-rows-repeated="1000000"><table:table-cell table:formula="of:=1" table:number-columns-repeated="2000"/></table:table-row>`,
	} {
		var e *LimitError
		if _, err := openParts(t, odsOf(row), Options{}); !errors.As(err, &e) {
			t.Errorf("%s: %v", name, err)
		}
	}
	var e *LimitError
	if _, err := openParts(t, xlsxOf(`<row><c r="XFD1"><v>1</v></c></row>`), Options{}); !errors.As(err, &e) {
		t.Errorf("%v", err)
	}
}

// TestHiddenSheets: hidden sheets are read only if named, and the errors list
// the sheets.
func TestHiddenSheets(t *testing.T) {
	book := excelize.NewFile()
	defer book.Close()
	for i, name := range []string{"Log, all", "old", "very old"} {
		if _, err := book.NewSheet(name); err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(book.SetCellValue(name, "A1", name), book.SetSheetVisible(name, i == 0, i == 2)); err != nil {
			t.Fatal(err)
		}
	}
	if err := book.DeleteSheet("Sheet1"); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := book.Write(&b); err != nil {
		t.Fatal(err)
	}
	for names, want := range map[string]string{"": "Log, all", "old": "old", "Log, all": "Log, all", "very old,old": "very old+old", " old , very old": "old+very old"} {
		f, err := Open(bytes.NewReader(b.Bytes()), 0, Options{Sheets: names})
		if err != nil {
			t.Errorf("%q: %v", names, err)
			continue
		}
		var got []string
		for _, text := range f.Texts {
			got = append(got, text.Sheet)
		}
		if strings.Join(got, "+") != want || len(f.Sheets) != 3 {
			t.Errorf("%q: read %v", names, got)
		}
	}
	_, err := Open(bytes.NewReader(b.Bytes()), 0, Options{Sheets: "new"})
	if err == nil || !strings.Contains(err.Error(), "Log, all, old (hidden), very old (hidden)") {
		t.Errorf("%v", err)
	}
	ods := []part{{"content.xml", `<office:document-content ` + odsSpaces + `><style:style style:name="h"><style:table-properties table:display="false"/></style:style>
<table:table table:name="a" table:style-name="h"/><table:table table:name="b"/></office:document-content>`}}
	f, err := openParts(t, ods, Options{})
	if err != nil || len(f.Texts) != 1 || f.Texts[0].Sheet != "b" || !f.Sheets[0].Hidden {
		t.Errorf("%v, %+v", err, f)
	}
}

func TestOtherArchives(t *testing.T) {
	for name, parts := range map[string][]part{
		"a text document":  {{"META-INF/manifest.xml", `<m><file-entry full-path="/" media-type="application/vnd.oasis.opendocument.text"/></m>`}, {"content.xml", "<x/>"}},
		"a password":       {{"META-INF/manifest.xml", `<m><file-entry full-path="content.xml"><encryption-data/></file-entry></m>`}, {"content.xml", "garbage"}},
		"a text processor": {{"[Content_Types].xml", "<x/>"}, {"_rels/.rels", `<r><Relationship Type="` + relations + `/officeDocument" Target="word/document.xml"/></r>`}},
		"an archive":       {{"log.csv", "maker,part\n"}},
	} {
		var e *FormatError
		if _, err := openParts(t, parts, Options{}); !errors.As(err, &e) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestLineEnds: CR, LF and CR LF end lines in one file.
func TestLineEnds(t *testing.T) {
	for in, want := range map[string]string{
		"a\rb\nc\n": "a\nb\nc\n", "a\r\nb\rc\nd\r": "a\r\nb\nc\nd\n", "a\r\r\nb": "a\n\r\nb", "a\rb": "a\nb", "a\n": "a\n",
	} {
		if text, err := openText(strings.NewReader(in)); err != nil || string(text.Data) != want {
			t.Errorf("%q: %v", in, err)
		}
	}
}
