package header

import (
	"strings"
	"testing"
)

// tuned holds the headers on which the rules were developed: column and unit,
// "?" before the columns between which numbers must decide, "" for a column of
// the user's own.
var tuned = map[string]string{
	"model no": "part", "model number": "part", "model #": "part", "Model": "part", "part nr.": "part", "item code": "part", "Filter model": "part", "Catalog No.": "part",
	"date cut": "opened", "cut date": "opened", "Date Cut Open": "opened", "teardown": "opened", "Day cut": "opened", "Date dissected (dd/mm/yy)": "opened dd/mm/yy", "When opened": "opened",
	"wall (thou)": "can_gauge thou", "wall (in)": "can_gauge in", "can wall thk mm": "can_gauge mm", "Sidewall thk. 1/1000 in": "can_gauge thou", "shell wall 0.001 in": "can_gauge thou",
	"Wall mil": "can_gauge mil", "can µm": "can_gauge µm", "thk of can (thousandths of an inch)": "can_gauge thousandthsofaninch", "Steel gauge": "can_gauge", "Thickness of the can wall": "can_gauge",
	"shell g": "can_mass g", "shell wt (g)": "can_mass g", "g can": "can_mass g", "mass, canister [oz]": "can_mass oz", "Housing weight": "can_mass", "lb can": "can_mass lb", "weight (can)": "can_mass",
	"paper g": "media_mass g", "paper wt": "media_mass", "media dr": "media_mass dr", "Paper drams": "media_mass drams", "grams of paper": "media_mass grams",
	"no. of folds": "pleats", "# pleats": "pleats", "fold count": "pleats", "pleat qty": "pleats", "count of folds": "pleats", "folds counted": "pleats", "PLTS": "pleats",
	"cost each": "price", "price pd ($)": "price $", "paid, EUR": "price eur", "£": "price £", "cost (USD) per filter": "price USD", "How much": "price", "US$ each": "price us$",
	"wt": "total_mass", "wt w/o box": "total_mass", "Wgt. gr": "total_mass gr", "weight without box (lb)": "total_mass lb", "filter oz": "total_mass oz", "Gross wt": "total_mass", "overall weight": "total_mass",
	"filter ht": "can_height", "can h mm": "can_height mm", "Shell hgt": "can_height", "how tall is the can": "can_height",
	"OD mm": "can_od mm", "can dia": "can_od", "Can O. D. (in)": "can_od in", `shell width "`: `can_od "`, "case outside dia": "can_od",
	"thd": "thread", "Thread sz": "thread", "thread type": "thread", "ADBV": "drain_back", "Anti drain": "drain_back", "ADBV type": "drain_back",
	"bypass?": "bypass", "by-pass loc.": "bypass", "bypass valve location": "bypass", "bypass spring type": "bypass_spring", "magnet y/n": "magnet", "Has magnet?": "magnet",
	"media (syn/cell)": "media_type", "paper material": "media_type", "kind of media": "media_type", "End caps made of": "end_caps",
	"paper L": "media_length", "paper W": "element_width", "unfolded len": "media_length", "Len. of paper, cm": "media_length cm", `paper len "`: `media_length "`, "media h (mm)": "element_width mm",
	"pleat ht": "element_width", "cartridge ht": "element_width", "elem. OD": "element_od", "cart. dia. mm": "element_od mm", "elem g": "element_mass g",
	"media lgth": "media_length", "media wdth": "element_width", "brnd": "maker", "brand name": "maker", "Mfgr.": "maker", "made by": "made_by",
	"seal dia": "gasket_od", "gasket mm": "gasket_od mm", "hole ct": "inlet_holes", "inlet count": "inlet_holes", "holes (no.)": "inlet_holes no.", "hole dia, in": "inlet_hole_diameter in", "no. inlet holes": "inlet_holes",
	"tap plate wt": "base_plate_mass", "plate thk": "base_plate_gauge", "threaded plate mm": "base_plate_gauge mm", "Base plate (g)": "base_plate_mass g", "spring (g)": "spring_mass g",
	"eff %": "claimed_efficiency %", "Advertised efficiency": "claimed_efficiency", "claimed µm": "claimed_particle_size µm", "microns": "claimed_particle_size microns",
	"lot no": "date_code", "mfg date": "date_code", "country": "origin", "Qty in pack": "pack_quantity pack", "pk size": "pack_quantity", "obs.": "notes", "paper sq in": "media_area sqin",

	"width":  "? element_width can_od",
	"length": "? media_length can_height element_width", "L mm": "? media_length can_height element_width",
	"height": "? can_height element_width", "ht": "? can_height element_width", "thk": "? can_gauge media_thickness base_plate_gauge",
	"g":           "? total_mass can_mass element_mass media_mass",
	"can mm":      "? can_gauge can_od can_height",
	"paper in":    "? media_length element_width media_thickness",
	"paper L x W": "? media_length element_width", "can (od/height)": "? can_od can_height", "brand / model": "? maker part",

	"where bought": "", "fits": "application", "Engine": "application", "wet weight": "", "used wt g": "", "weight with oil": "", "price per 100 cm2": "", "date bought": "purchased", "torque": "", "burst psi": "", "box": "",
	"shipping": "", "hours run": "", "link": "", "photo no": "", "shelf": "", "no": "", "#": "", "type": "", "can mass (mm)": "", "pleat depth": "", "colour": "", "can colour": "", "gasket colour": "",
}

func TestHeadersByParts(t *testing.T) {
	for text, want := range tuned {
		m, ok := Match(text)
		got := ""
		if ok {
			got = strings.TrimSpace(m.Column + " " + strings.ReplaceAll(m.Unit, " ", ""))
			if len(m.Others) > 0 {
				got = "? " + m.Column
				for _, i := range m.Others {
					got += " " + i
				}
			}
		}
		if got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
