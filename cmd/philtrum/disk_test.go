package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"
	"testing"

	"philtrum/locales"
)

// What a disk refuses is said in words that help, in every language, and is a failure of the disk.
func TestWhatADiskRefusesIsSaid(t *testing.T) {
	catalogue, err := locales.Load(locales.Default)
	if err != nil {
		t.Fatal(err)
	}
	for err, want := range map[error]string{
		syscall.ENOSPC:                       "disk is full",
		syscall.EROFS:                        "may only be read",
		&fs.PathError{Err: fs.ErrPermission}: "may only be read",
		errors.New("a head crashed"):         "a head crashed",
	} {
		printer, fault := catalogue.Printer("en")
		if fault != nil {
			t.Fatal(fault)
		}
		var out bytes.Buffer
		v := &voice{out: &out, err: &out, printer: printer}
		if got := v.end(fmt.Errorf("write: %w", err)); got != statusFailure {
			t.Errorf("%v: status %d", err, got)
		}
		if !strings.Contains(out.String(), want) {
			t.Errorf("%v: %q", err, out.String())
		}
	}
}
