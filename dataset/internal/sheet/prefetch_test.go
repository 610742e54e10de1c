package sheet

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
)

// Records read ahead are the same as those read one by one, whatever their
// number, even with unclosed marks and fields of several lines.
func TestPrefetchReadsTheSameRecords(t *testing.T) {
	for _, n := range []int{0, 1, batchRecords - 1, batchRecords, batchRecords + 1, 5*batchesAhead*batchRecords + 3} {
		var b strings.Builder
		for i := range n {
			switch i % 97 {
			case 5:
				fmt.Fprintf(&b, "Skerrow,\"open %d,1\n", i)
			case 11:
				fmt.Fprintf(&b, "Skerrow,41 3/8\" long,%d\n", i)
			case 13:
				fmt.Fprintf(&b, "Skerrow,\"two\nlines\",%d\n", i)
			default:
				fmt.Fprintf(&b, "Lowmere,L %d,%d.5\n", i, i)
			}
		}
		text, err := openText(strings.NewReader("maker,part,price\n" + b.String()))
		if err != nil {
			t.Fatal(err)
		}
		alone, ahead := text.Records(',', 17, 2), text.Prefetch(',', 17, 2, 3)
		defer ahead.Close()
		alone.Expect(3)
		for i := 0; ; i++ {
			want, wantErr := alone.Next()
			got, gotErr := ahead.Next()
			if !errors.Is(gotErr, wantErr) || !slices.Equal(got.Fields, want.Fields) ||
				got.Line != want.Line || got.Offset != want.Offset || got.Broken != want.Broken {
				t.Fatalf("%d lines, record %d: %+v, %v, want %+v, %v", n, i, got, gotErr, want, wantErr)
			}
			if errors.Is(wantErr, io.EOF) {
				break
			}
		}
		if _, err := ahead.Next(); !errors.Is(err, io.EOF) {
			t.Errorf("behind the end: %v", err)
		}
	}
}

// Closing early leaves no blocked goroutine.
func TestPrefetcherCanBeLeftEarly(t *testing.T) {
	text, err := openText(strings.NewReader("maker,part\n" + strings.Repeat("Lowmere,L 1\n", 100_000)))
	if err != nil {
		t.Fatal(err)
	}
	a := text.Prefetch(',', 11, 2, 2)
	if _, err := a.Next(); err != nil {
		t.Fatal(err)
	}
	a.Close()
	a.Close()
}
