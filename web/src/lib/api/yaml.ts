/** A word of the document as YAML: plain where that is safe, in quotes where it could be read as something else. */
export function yamlText(text: string): string {
  const plain = /^[A-Za-z][\w/.-]*( [\w/.-]+)*$/.test(text);
  const meant = /^(true|false|null|yes|no|on|off|y|n|nan|inf)$/i.test(text);
  return plain && !meant ? text : JSON.stringify(text);
}
