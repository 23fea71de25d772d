#!/bin/sh
# Validates the files named against PDF/A-1b with Apache Preflight.
# Needs a Java development kit and, on Debian, libpdfbox2-java and libjaxb-api-java (which brings
# libactivation-java along). JARS may name another folder than the one they install to.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
jars=${JARS:-/usr/share/java}
path=$here
for jar in preflight pdfbox2 fontbox2 xmpbox commons-logging jaxb-api javax.activation; do
	path=$path:$jars/$jar.jar
done
exec java -Djava.awt.headless=true -cp "$path" "$here/Check.java" "$@"
