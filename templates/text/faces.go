package text

import (
	_ "embed" // font files
)

// The embedded font files. As strings they cost nothing until a byte of them is read.
var (
	//go:embed fonts/NotoSans-Regular.ttf
	sansRegular string
	//go:embed fonts/NotoSans-Bold.ttf
	sansBold string
	//go:embed fonts/NotoSansArabic-Regular.ttf
	arabicRegular string
	//go:embed fonts/NotoSansArabic-Bold.ttf
	arabicBold string
	//go:embed fonts/NotoNaskhArabic-Regular.ttf
	naskhRegular string
	//go:embed fonts/NotoNaskhArabic-Bold.ttf
	naskhBold string
	//go:embed fonts/NotoSansHebrew-Regular.ttf
	hebrewRegular string
	//go:embed fonts/NotoSansHebrew-Bold.ttf
	hebrewBold string
	//go:embed fonts/NotoSansDevanagari-Regular.ttf
	devanagariRegular string
	//go:embed fonts/NotoSansDevanagari-Bold.ttf
	devanagariBold string
	//go:embed fonts/NotoSansBengali-Regular.ttf
	bengaliRegular string
	//go:embed fonts/NotoSansBengali-Bold.ttf
	bengaliBold string
	//go:embed fonts/NotoSansTamil-Regular.ttf
	tamilRegular string
	//go:embed fonts/NotoSansTamil-Bold.ttf
	tamilBold string
	//go:embed fonts/NotoSansThai-Regular.ttf
	thaiRegular string
	//go:embed fonts/NotoSansThai-Bold.ttf
	thaiBold string
	//go:embed fonts/NotoSansSC-Regular.ttf
	simplifiedRegular string
	//go:embed fonts/NotoSansTC-Regular.ttf
	traditionalRegular string
	//go:embed fonts/NotoSansJP-Regular.ttf
	japaneseRegular string
	//go:embed fonts/NotoSansKR-Regular.ttf
	koreanRegular string
)

// family is a typeface for one script; a faceID is a family in one weight.
type family uint8

const (
	latin family = iota // Latin, Cyrillic, Greek
	arabic
	naskh
	hebrew
	devanagari
	bengali
	tamil
	thai
	simplified
	traditional
	japanese
	korean
	familyCount
)

// Han families have one weight: their bold would double 29 MB of outlines.
func (f family) han() bool { return f >= simplified }

type faceID uint8

const faceCount = faceID(familyCount) * 2

func (f family) face(bold bool) faceID {
	id := faceID(f) * 2
	if bold && !f.han() {
		id++
	}
	return id
}

func (id faceID) family() family { return family(id / 2) }
func (id faceID) bold() bool     { return id%2 == 1 }

// source names a face and its file.
type source struct {
	name string
	data *string
}

var sources = [faceCount]source{
	{"NotoSans-Regular", &sansRegular}, {"NotoSans-Bold", &sansBold},
	{"NotoSansArabic-Regular", &arabicRegular}, {"NotoSansArabic-Bold", &arabicBold},
	{"NotoNaskhArabic-Regular", &naskhRegular}, {"NotoNaskhArabic-Bold", &naskhBold},
	{"NotoSansHebrew-Regular", &hebrewRegular}, {"NotoSansHebrew-Bold", &hebrewBold},
	{"NotoSansDevanagari-Regular", &devanagariRegular}, {"NotoSansDevanagari-Bold", &devanagariBold},
	{"NotoSansBengali-Regular", &bengaliRegular}, {"NotoSansBengali-Bold", &bengaliBold},
	{"NotoSansTamil-Regular", &tamilRegular}, {"NotoSansTamil-Bold", &tamilBold},
	{"NotoSansThai-Regular", &thaiRegular}, {"NotoSansThai-Bold", &thaiBold},
	{"NotoSansSC-Regular", &simplifiedRegular}, {},
	{"NotoSansTC-Regular", &traditionalRegular}, {},
	{"NotoSansJP-Regular", &japaneseRegular}, {},
	{"NotoSansKR-Regular", &koreanRegular}, {},
}
