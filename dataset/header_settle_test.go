package dataset

import (
	"strings"
	"testing"
)

// meanings lists how each header of a log was read, as "header=column unit".
func meanings(l *Log) string {
	var out []string
	r := l.ColumnsRead()
	for _, c := range r.Read {
		out = append(out, strings.TrimSpace(c.Header+"="+c.Column+" "+c.Unit))
	}
	for _, c := range r.NotUsed {
		out = append(out, c.Header+"=")
	}
	return strings.Join(out, ", ")
}

// The numbers below an ambiguous header decide its column, or the user is
// asked. A media strip is 20 to 150 mm wide and a can 60 to 120 mm: common
// practice, no source.
func TestNumbersDecideHeaders(t *testing.T) {
	for _, c := range []struct {
		name, header, row string
		want              string // reading of the last columns
		says              string // text of a problem
	}{
		{"narrow is media", "maker,part,width mm", "Skerrow,SK-1,38", "width mm=element_width mm", "read as element_width: its middle value, 38, lies where those do"},
		{"both fit", "maker,part,width mm", "Skerrow,SK-1,76", "width mm=", "may be element_width or can_od, and its middle value, 76, does not tell; it is not used. Say --column element_width='width mm' or --column can_od='width mm'"},
		{"the can has its own", "maker,part,width mm,OD mm", "Skerrow,SK-1,76,80", "width mm=element_width mm, OD mm=can_od mm", "the others it may mean stand in columns of their own"},
		{"long is media", "maker,part,length (in)", "Skerrow,SK-1,41 3/8", "length (in)=media_length in", "lies where those do"},
		{"a short length", "maker,part,length (mm)", "Skerrow,SK-1,42", "length (mm)=element_width mm", "lies where those do"},
		{"a strip without units", "maker,part,length,width", "Skerrow,SK-1,38.5,2.5", "length=media_length in, width=element_width in", "it is many times the \"width\" beside it"},
		{"inches in the cells", "maker,part,length", `Skerrow,SK-1,"41 3/8"""`, "length=media_length in", ""},
		{"a mass alone", "maker,part,g", "Skerrow,SK-1,290", "g=total_mass g", "it is the largest of the masses"},
		{"a mass among others", "maker,part,g,can g,paper g", "Skerrow,SK-1,290,70,12", "g=total_mass g, can g=can_mass g, paper g=media_mass g", "it is the largest of the masses"},
		{"thick metal or paper", "maker,part,thk mm", "Skerrow,SK-1,0.6", "thk mm=", "may be can_gauge or media_thickness or base_plate_gauge"},
		{"thick plate", "maker,part,thk mm", "Skerrow,SK-1,3.1", "thk mm=base_plate_gauge mm", ""},
		{"a can in mm", "maker,part,can mm", "Skerrow,SK-1,0.41", "can mm=can_gauge mm", ""},
		{"a spring that is weighed", "maker,part,spring", "Skerrow,SK-1,leaf", "spring=bypass_spring", ""},
		{"holes by their size", "maker,part,inlet ports mm", "Skerrow,SK-1,6.5", "inlet ports mm=inlet_hole_diameter mm", ""},
		{"two in one", "maker,part,paper L x W", "Skerrow,SK-1,41x2.5", "paper L x W=", "names media_length and element_width; it is not used. Give each a column of its own"},
		{"the name that is missing", "brand,name,pleats", "Skerrow,SK-1,51", "name=part, pleats=pleats", "read as part"},
		{"a word too many", "maker,part,can wall top mm", "Skerrow,SK-1,0.4", "can wall top mm=", "may be can_gauge, but \"top\" is no word that is known; it is not used. Say --column can_gauge='can wall top mm'"},
		{"price twice", "maker,part,price,cost each", "Skerrow,SK-1,8,4", "price=price, cost each=", "looks like price too, which is read from \"price\"; --column price='cost each' reads this one instead"},
	} {
		text := c.header + "\n" + strings.Repeat(c.row+"\n", 5)
		l, err := Read(strings.NewReader(text), "log.csv", Options{})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := meanings(l); !strings.HasSuffix(got, c.want) && !strings.Contains(got, c.want) {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
		if c.says != "" && len(messages(l, c.says)) != 1 {
			t.Errorf("%s: problems %+v do not say %q", c.name, l.Problems(), c.says)
		}
	}
}

func TestColumnsOfOnesOwnChoice(t *testing.T) {
	const text = "who,what is it,wall,shell,shop\nSkerrow,SK-1,18,60,quay\nThornquay,TQ-2,17,70,quay\n"
	pick := func(all ...Choice) Options { return Options{Columns: all} }
	l := mustRead(t, text, pick(Choice{Column: "maker", Header: "WHO"}, Choice{Column: "part no", Header: "what is  it"},
		Choice{Column: "wall (thou)", Header: "wall"}, Choice{Column: "shell g", Header: "shell"}))
	if got := meanings(l); got != "who=maker, what is it=part, wall=can_gauge thou, shell=can_mass g, shop=shop" {
		t.Error(got)
	}
	if v := l.Floats("can_gauge")[0]; v < 0.457 || v > 0.4573 {
		t.Errorf("18 thou are %g mm", v)
	}
	l = mustRead(t, "maker,part,price,cost\nSkerrow,SK-1,8,9\n", pick(Choice{Column: "price", Header: "cost"}))
	if got := meanings(l); got != "maker=maker, part=part, cost=price, price=" {
		t.Error(got)
	}
	if l.Floats("price")[0] != 9 {
		t.Error("the price is read from the other column")
	}
	for _, c := range []struct {
		choice Choice
		says   string
	}{
		{Choice{Column: "partt", Header: "who"}, `--column partt='who': there is no column "partt"; did you mean "part"?`},
		{Choice{Column: "length", Header: "who"}, `there is no column "length"; "pleatstat columns" lists them`},
		{Choice{Column: "part", Header: "what is"}, `there is no header "what is" in line 1; it has maker, part, price, cost`},
		{Choice{Column: "price", Header: "costs"}, `did you mean "cost"?`},
	} {
		_, err := Read(strings.NewReader("maker,part,price,cost\nSkerrow,SK-1,8,9\n"), "log.csv", pick(c.choice))
		if !as[*ChoiceError](err) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v: %v", c.choice, err)
		}
	}
	mustRead(t, "maker,part,price\nSkerrow,SK-1,8\n", pick(Choice{Column: "opened", Header: "tag", Optional: true}))
}

// An error names the header that may be meant and the option to use.
func TestRefusalNamesTheCure(t *testing.T) {
	for text, says := range map[string]string{
		"maker,no,pleats\nSkerrow,SK-1,51\nSkerrow,SK-2,52\n":                "Is the part 'no'? Say --column part='no', or write it once into the settings",
		"who,model,pleats\nSkerrow,1,51\nSkerrow,2,52\nThornquay,3,50\n":     "Is the maker 'who'? Say --column maker='who', or write it",
		"maker,tag,shop,pleats\nSkerrow,SK-1,quay,51\nSkerrow,SK-2,quay,4\n": "Is the part 'tag'? Say --column part='tag'",
		"whose name,which name,pleats\nSkerrow,SK-1,51\nSkerrow,SK-2,52\n":   "Is the maker 'whose name' or 'which name'? Say --column maker='whose name' or --column maker='which name'. Which of them is the part?",
		"maker,hook,pleats\nSkerrow,4,51\nSkerrow,4,52\n":                    "Which of them is the part? Say --column part='ITS HEADER'",
	} {
		_, err := Read(strings.NewReader(text), "log.csv", Options{})
		if !as[*MissingColumnError](err) || !strings.Contains(err.Error(), says) {
			t.Errorf("%v\nwant %s", err, says)
		}
	}
}

// "Made by" is the maker if there is no other column for it.
func TestMadeByIsTheMakerWhereNothingElseIs(t *testing.T) {
	l := mustRead(t, "made by,part,pleats\nSkerrow,SK-1,51\n", Options{})
	if got := meanings(l); got != "made by=maker, part=part, pleats=pleats" {
		t.Error(got)
	}
	l = mustRead(t, "maker,made by,part,pleats\nSkerrow,Veldmarsh,SK-1,51\n", Options{})
	if got := meanings(l); got != "maker=maker, made by=made_by, part=part, pleats=pleats" {
		t.Error(got)
	}
}
