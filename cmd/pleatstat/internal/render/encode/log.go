package encode

import (
	"pleatstat/dataset"
)

// Log is the log in the JSON of every command that says no more of it.
type Log struct {
	File  string `json:"file"`
	Rows  int    `json:"rows"`
	Units string `json:"units"`
	dataset.ColumnsRead
}

// LogOf is the log of a run; used are columns of the log's own that the run
// is about.
func LogOf(l *dataset.Log, used ...string) Log {
	return Log{l.File(), l.Rows(), l.Units().System(), l.ColumnsRead().Using(used...)}
}
