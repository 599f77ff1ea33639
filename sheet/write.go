package sheet

import "fmt"

// Formats are what a sheet can be written as.
var Formats = []string{"pdf", "html", "md", "csv"}

// Write is the sheet in one of the formats; unix is the date written into a PDF, s since 1970 UTC.
func (s *Sheet) Write(format string, unix int64) ([]byte, error) {
	switch format {
	case "pdf":
		return s.PDF(unix)
	case "html":
		return s.HTML()
	case "md":
		return s.Markdown(), nil
	case "csv":
		return s.CSV(), nil
	}
	return nil, fmt.Errorf("found the format %q, expected one of %v", format, Formats)
}
