/**
 * The shapes that travel between the tablet and the server. Types only; nothing here runs.
 *
 * Times are ms since 1970 (UTC); positions and sizes are tenths of a millimetre in the drawing's own coordinates.
 *
 * @typedef {"applied" | "flagged" | "refused"} Outcome
 *
 * @typedef {object} Draft  what a room hands to `keep`
 * @property {string} type  the event's name, e.g. "marker_made"
 * @property {string} stream  "unit:<uuid>"
 * @property {Record<string, any>} body
 * @property {Record<string, any> | null} [private]  words that can be forgotten later
 * @property {string | null} [catalogue]  hash; the page's own when left out
 * @property {string | null} [outline]  hash; the page's own when left out
 *
 * @typedef {object} KeptEvent  the envelope as it is sent
 * @property {string} id  UUIDv7
 * @property {string} stream
 * @property {string} type
 * @property {string} tablet
 * @property {number} seq  the tablet's running number
 * @property {string} ticket  proves who did it, whoever is signed in when it is sent
 * @property {number} at  device time
 * @property {number} offset  server time less device time, estimated
 * @property {string | null} catalogue
 * @property {string | null} outline
 * @property {Record<string, any>} body
 * @property {Record<string, any> | null} private
 *
 * @typedef {object} OutboxItem
 * @property {number} seq
 * @property {string} id
 * @property {KeptEvent} event
 * @property {string | null} stuck  why the server would not even read it; null while it is simply waiting
 * @property {number} retryAt  not before this device time
 *
 * @typedef {object} Answer  the server's word on one event
 * @property {string} id
 * @property {Outcome} outcome
 * @property {string | null} [reason]
 * @property {string | null} [code]  for programs
 * @property {number | null} [n]
 * @property {Record<string, any> | null} [resolved]
 *
 * @typedef {object} KeptAnswer  a flagged or refused event, shown until someone dismisses it
 * @property {string} id
 * @property {"flagged" | "refused"} outcome
 * @property {string} reason
 * @property {KeptEvent} event
 * @property {number} answeredAt
 * @property {string | null} [code]
 * @property {number | null} [savedAt]  when it went into an outbox file
 *
 * @typedef {object} SettledItem  applied by the server, not yet seen in the changes feed
 * @property {number} seq
 * @property {KeptEvent} event
 * @property {number} n
 *
 * @typedef {object} OutPhoto
 * @property {string} photo  UUIDv7, also its address
 * @property {string} event  id of its photo_added
 * @property {number} seq
 * @property {ArrayBuffer} data
 * @property {string} type  media type
 * @property {string | null} refused  the server's reason; kept until dismissed
 * @property {number} retryAt
 *
 * @typedef {object} Me
 * @property {string} person
 * @property {string} name
 * @property {string[]} roles
 * @property {string[]} departments
 * @property {string} [language]  "" as the plant's
 * @property {string} [formats]
 * @property {string} ticket
 * @property {string} token
 * @property {string} tablet
 * @property {string} letters  this tablet's letters, first part of its tags
 * @property {number} until
 * @property {number} now
 *
 * @typedef {Record<string, any> & {id: string, n?: number, pending?: boolean}} Row
 * @typedef {Record<string, Row[]>} Rows  table name to rows
 *
 * @typedef {object} Feed  how far one scope has been read
 * @property {string} scope  unit id, or "" for the plant
 * @property {string} epoch
 * @property {number} n
 * @property {string | null} etag
 * @property {string} etagFor  the request that etag belongs to
 * @property {number} openedAt
 */

export {};
