package cellparse

import "testing"

// TestRefused: text that resembles a number or a date is refused, not read as a
// similar value.
func TestRefused(t *testing.T) {
	for _, text := range []string{"USD 12 EUR", "€12 $", "£ 3 EUR", "1e-400", "-1e-400", "0.0000000000000001", "3e-13"} {
		if n, err := ParseNumber(text, Point); err == nil {
			t.Errorf("%q is read as %+v", text, n)
		}
	}
	for text, want := range map[string]string{"$12 USD": "USD", "$12 CAD": "CAD", "EUR 12 €": "€", "0e-400": "", "0.000": ""} {
		if n, err := ParseNumber(text, Point); err != nil || n.Unit != want {
			t.Errorf("%q: %+v, %v", text, n, err)
		}
	}
	for _, text := range []string{"00/2024", "2024-00", "0/2024", "20240300", "20240008", "2024-00-08", "00.03.2024"} {
		if d, _, err := ParseDate(text, DayFirst); err == nil {
			t.Errorf("%q is read as %+v", text, d)
		}
	}
}
