// Command compile stores the shipped rules, proved and checked, in forms/screen/compiled.json. It is run by
// go generate in that folder whenever rules, form, medicine classes or policy keys change.
package main

import (
	"fmt"
	"os"

	"philtrum/forms"
	"philtrum/forms/medicine"
	"philtrum/forms/screen"
)

func main() {
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run() error {
	form, problems := forms.Load(forms.Default, "lips")
	if err := problems.Err(); err != nil {
		return err
	}
	lex, problems := medicine.Load(medicine.Default)
	if err := problems.Err(); err != nil {
		return err
	}
	data, err := screen.Compile(screen.Default, form, lex)
	if err != nil {
		return err
	}
	return os.WriteFile("compiled.json", data, 0o644)
}
