//! Just enough of HTTP/1.1 (RFC 9112) to send a form and read the whole answer: an answer cut
//! short is no answer.

use std::{io, net::SocketAddr, time::Duration};

use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::TcpStream,
    time::timeout,
};

/// A client waits this long for an answer.
const PATIENCE: Duration = Duration::from_secs(30);

pub struct Reply {
    pub status: u16,
    pub head: String,
    pub body: Vec<u8>,
}

impl Reply {
    /// The value of a header, by its lower-case name.
    pub fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().skip(1).find_map(|line| {
            let (known, value) = line.split_once(':')?;
            known.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }

    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }
}

/// Who asks, and where.
#[derive(Clone)]
pub struct Browser {
    pub address: SocketAddr,
    /// The whole cookie header; empty when signed out.
    pub cookie: String,
}

impl Browser {
    pub async fn get(&self, path: &str) -> io::Result<Reply> {
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nCookie: {}\r\n\r\n",
            self.address, self.cookie
        );
        exchange(self.address, request.as_bytes()).await
    }

    pub async fn submit(&self, path: &str, body: &str) -> io::Result<Reply> {
        exchange(self.address, &self.posting(path, body, "close")).await
    }

    /// The bytes of a form being sent.
    pub fn posting(&self, path: &str, body: &str, connection: &str) -> Vec<u8> {
        format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nConnection: {connection}\r\nCookie: {}\r\nSec-Fetch-Site: same-origin\r\n\
             Content-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{body}",
            self.address,
            self.cookie,
            body.len()
        )
        .into_bytes()
    }
}

/// Sends raw bytes on a connection of their own and reads one whole answer.
pub async fn exchange(address: SocketAddr, request: &[u8]) -> io::Result<Reply> {
    let mut stream = TcpStream::connect(address).await?;
    stream.write_all(request).await?;
    answer(&mut stream).await
}

/// Reads one whole answer.
pub async fn answer(stream: &mut TcpStream) -> io::Result<Reply> {
    timeout(PATIENCE, whole(stream))
        .await
        .map_err(|_| io::Error::new(io::ErrorKind::TimedOut, "no answer"))?
}

async fn whole(stream: &mut TcpStream) -> io::Result<Reply> {
    let mut bytes = Vec::new();
    let head_end = loop {
        if let Some(at) = bytes.windows(4).position(|four| four == b"\r\n\r\n") {
            break at;
        }
        more(stream, &mut bytes).await?;
    };
    let head = String::from_utf8_lossy(&bytes[..head_end]).into_owned();
    let status = head
        .split(' ')
        .nth(1)
        .and_then(|code| code.parse().ok())
        .ok_or_else(|| io::Error::new(io::ErrorKind::InvalidData, "no status"))?;
    let mut reply = Reply {
        status,
        head,
        body: bytes.split_off(head_end + 4),
    };
    let chunked = reply.header("transfer-encoding") == Some("chunked");
    let length = reply.header("content-length").and_then(|n| n.parse().ok());
    match length {
        Some(length) => {
            while reply.body.len() < length {
                more(stream, &mut reply.body).await?;
            }
        }
        // What the compressor might have sent comes in chunks; the last is empty.
        None if chunked => {
            while !reply.body.ends_with(b"0\r\n\r\n") {
                more(stream, &mut reply.body).await?;
            }
        }
        None => {}
    }
    Ok(reply)
}

async fn more(stream: &mut TcpStream, bytes: &mut Vec<u8>) -> io::Result<()> {
    let mut piece = [0; 8_192];
    match stream.read(&mut piece).await? {
        0 => Err(io::ErrorKind::UnexpectedEof.into()),
        count => {
            bytes.extend_from_slice(&piece[..count]);
            Ok(())
        }
    }
}
