package sheet

import "sync"

const (
	batchRecords = 256 // records handed over at a time
	batchesAhead = 4
)

// Ahead steps through records that another goroutine splits into fields, some
// batches ahead of where they are asked for. It must be closed.
type Ahead struct {
	full, empty chan *batch
	stop        chan struct{}
	closing     sync.Once
	current     *batch
	at          int
}

// batch is some records in a row and the error, if any, behind them.
type batch struct {
	records []Record
	fields  []string // of all of them
	err     error
}

// Ahead returns a reader of what Records with Expect would return.
func (t *Text) Ahead(comma rune, offset, line, width int) *Ahead {
	r := t.Records(comma, offset, line)
	r.Expect(width)
	a := &Ahead{full: make(chan *batch, batchesAhead), empty: make(chan *batch, batchesAhead), stop: make(chan struct{})}
	for range batchesAhead {
		a.empty <- &batch{}
	}
	go a.fill(r)
	return a
}

// fill reads until an error, io.EOF among them, or until the reader is closed.
func (a *Ahead) fill(r *Records) {
	for {
		var b *batch
		select {
		case b = <-a.empty:
		case <-a.stop:
			return
		}
		b.records, b.fields, b.err = b.records[:0], b.fields[:0], nil
		for len(b.records) < batchRecords {
			rec, err := r.Next()
			if err != nil {
				b.err = err
				break
			}
			from := len(b.fields)
			b.fields = append(b.fields, rec.Fields...)              // rec.Fields is the reader's to use again
			rec.Fields = b.fields[from:len(b.fields):len(b.fields)] // of an earlier array, where it has grown: still whole
			b.records = append(b.records, rec)
		}
		done := b.err != nil
		a.full <- b // has room for all there are
		if done {
			return
		}
	}
}

// Next returns the next record, or the error of Records.Next, again and again.
// Its Fields are valid until the next call.
func (a *Ahead) Next() (Record, error) {
	for a.current == nil || a.at == len(a.current.records) {
		if a.current != nil {
			if a.current.err != nil {
				return Record{}, a.current.err
			}
			a.empty <- a.current
		}
		a.current, a.at = <-a.full, 0
	}
	a.at++
	return a.current.records[a.at-1], nil
}

// Close ends the reading.
func (a *Ahead) Close() { a.closing.Do(func() { close(a.stop) }) }
