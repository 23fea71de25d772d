package read

import (
	"bytes"
	"fmt"
	"io"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
)

// Merge puts files one after another, for printing: what a file says beyond its pages (tags, archive metadata)
// may be lost, so it is no paper of its own. The files are sound ones of ours.
func Merge(files [][]byte) (merged []byte, err error) {
	defer rescue(&err)
	all := make([]io.ReadSeeker, len(files))
	for i, f := range files {
		all[i] = bytes.NewReader(f)
	}
	conf := &model.Configuration{
		Reader15: true, ValidationMode: model.ValidationRelaxed, Offline: true, Limits: model.DefaultResourceLimits(),
		WriteObjectStream: true, WriteXRefStream: true, Eol: "\n", CreateBookmarks: false,
	}
	var out bytes.Buffer
	if err := api.MergeRaw(all, &out, false, conf); err != nil {
		return nil, fmt.Errorf("read: merge: %w", err)
	}
	return out.Bytes(), nil
}
