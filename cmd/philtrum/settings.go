package main

import (
	"fmt"
	"strings"

	"github.com/spf13/viper"
)

// settings are the few choices that are not the clinic's record: how the tool speaks and prints. They come
// from flags over environment over defaults. Nothing clinical is among them; rules and windows are read
// from the clinic's own files only, so that no shell can bend them.
type settings struct {
	Clinic   string `mapstructure:"clinic"`   // folder of the clinic
	Language string `mapstructure:"language"` // in which the tool speaks
	Page     string `mapstructure:"page"`     // A4 or Letter, over the clinic's own choice
}

// settingKeys are the only keys that the environment may set, as PHILTRUM_CLINIC and so on.
var settingKeys = []string{"clinic", "language", "page"}

// readSettings merges defaults and environment; flags are merged over them by the commands.
func readSettings(w world) (settings, error) {
	v := viper.New()
	for _, key := range settingKeys {
		v.SetDefault(key, "")
		if value, ok := w.environment("PHILTRUM_" + strings.ToUpper(key)); ok {
			v.Set(key, value)
		}
	}
	var s settings
	if err := v.UnmarshalExact(&s); err != nil {
		return settings{}, fmt.Errorf("settings: %w", err)
	}
	return s, nil
}
