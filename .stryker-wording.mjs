/**
 * What mutation testing leaves out: wording. A text with a space in it is for people, and so are labels and
 * notes; a test that repeats a sentence would only mirror it. Every other string, a code or a name, is mutated.
 */
const FOR_PEOPLE = new Set(['label', 'note']);

const wording = {
  shouldIgnore({ node, parent }) {
    if (!isText(node)) return undefined;
    const isNamed = parent?.type === 'ObjectProperty' && FOR_PEOPLE.has(parent.key.name);
    return isNamed || spokenIn(node) ? 'wording' : undefined;
  },
};

function isText({ type }) {
  return type === 'StringLiteral' || type === 'TemplateLiteral';
}

function spokenIn(node) {
  const texts = node.type === 'StringLiteral' ? [node.value] : node.quasis.map(({ value }) => value.raw);
  return texts.some((text) => text.includes(' '));
}

export const strykerPlugins = [{ kind: 'Ignore', name: 'wording', value: wording }];
