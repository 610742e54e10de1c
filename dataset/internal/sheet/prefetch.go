package sheet

import "sync"

const (
	batchRecords = 256 // records per batch
	batchesAhead = 4
)

// Prefetcher iterates over records that another goroutine splits into fields some
// batches in advance. It must be closed.
type Prefetcher struct {
	full, empty chan *batch
	stop        chan struct{}
	closing     sync.Once
	current     *batch
	at          int
}

// batch is a run of records and the error after them, if any.
type batch struct {
	records []Record
	fields  []string // backing array of all records
	err     error
}

// Prefetch returns a reader of the records that Records with Expect would return.
func (t *Text) Prefetch(comma rune, offset, line, width int) *Prefetcher {
	r := t.Records(comma, offset, line)
	r.Expect(width)
	a := &Prefetcher{full: make(chan *batch, batchesAhead), empty: make(chan *batch, batchesAhead), stop: make(chan struct{})}
	for range batchesAhead {
		a.empty <- &batch{}
	}
	go a.fill(r)
	return a
}

// fill reads until an error, including io.EOF, or until the reader is closed.
func (a *Prefetcher) fill(r *Records) {
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
			b.fields = append(b.fields, rec.Fields...)              // the reader reuses rec.Fields
			rec.Fields = b.fields[from:len(b.fields):len(b.fields)] // stays valid if append moves b.fields
			b.records = append(b.records, rec)
		}
		done := b.err != nil
		a.full <- b // never blocks: the channel holds every batch
		if done {
			return
		}
	}
}

// Next returns the next record. At the end it returns the error of
// Records.Next, on every further call too. The record's Fields are valid until
// the next call.
func (a *Prefetcher) Next() (Record, error) {
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

// Close stops the goroutine.
func (a *Prefetcher) Close() { a.closing.Do(func() { close(a.stop) }) }
