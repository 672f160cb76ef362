import { z } from 'zod';
import { ConfigSchema } from './schema.ts';

/** A node of a JSON Schema, as far as this program looks into it. */
export interface SchemaNode {
  readonly description?: string;
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  readonly items?: SchemaNode;
  readonly additionalProperties?: SchemaNode | boolean;
  readonly propertyNames?: { readonly enum?: readonly string[] };
  readonly anyOf?: readonly SchemaNode[];
  readonly oneOf?: readonly SchemaNode[];
}

/** JSON Schema of a config file as it is written, for editors: `config/drainby.schema.json`. */
export function configJsonSchema(): SchemaNode & Readonly<Record<string, unknown>> {
  const schema = z.toJSONSchema(ConfigSchema, { io: 'input' }) as SchemaNode & Record<string, unknown>;
  return {
    ...schema,
    title: 'drainby config',
    description: 'Places, units and people that drainby watches the forecast for.',
  };
}

/** The text of `config/drainby.schema.json`. */
export function configJsonSchemaText(): string {
  return `${JSON.stringify(configJsonSchema(), null, 2)}\n`;
}

/** The keys that a map at `path` may have. */
export function knownKeys(schema: SchemaNode, path: readonly PropertyKey[]): readonly string[] {
  let nodes: readonly SchemaNode[] = [schema];
  for (const step of path) nodes = nodes.flatMap(branches).flatMap((node) => child(node, step));
  const keys = nodes
    .flatMap(branches)
    .flatMap((node) => [...Object.keys(node.properties ?? {}), ...(node.propertyNames?.enum ?? [])]);
  return [...new Set(keys)];
}

function branches(node: SchemaNode): readonly SchemaNode[] {
  return [node, ...(node.anyOf ?? []), ...(node.oneOf ?? [])];
}

function child(node: SchemaNode, step: PropertyKey): readonly SchemaNode[] {
  if (typeof step === 'number') return node.items ? [node.items] : [];
  const named = node.properties?.[String(step)];
  if (named) return [named];
  return typeof node.additionalProperties === 'object' ? [node.additionalProperties] : [];
}
