using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace Caseload.Data.PrivateCluster;

/// <summary>Where the server listens: a socket in the data folder, or a port of the loopback interface.</summary>
internal sealed record ServerAddress(string Host, int Port, bool IsSocket)
{
    private const int SocketPort = 5432;

    // The kernel allows 104 to 108 bytes, depending on the system.
    private const int LongestSocketPath = 99;

    public static ServerAddress ForDataFolder(ClusterFolders folders)
    {
        var socketPath = Path.Combine(folders.Run, $".s.PGSQL.{SocketPort}");

        return System.Text.Encoding.UTF8.GetByteCount(socketPath) <= LongestSocketPath
            ? new ServerAddress(folders.Run, SocketPort, IsSocket: true)
            : new ServerAddress("127.0.0.1", ReadOrChoosePort(folders.PortFile), IsSocket: false);
    }

    public ServerAddress WithNewPort(ClusterFolders folders) => this with { Port = ChoosePort(folders.PortFile) };

    private static int ReadOrChoosePort(string file) =>
        File.Exists(file) && int.TryParse(File.ReadAllText(file), NumberStyles.None, CultureInfo.InvariantCulture, out var port)
            ? port
            : ChoosePort(file);

    private static int ChoosePort(string file)
    {
        using var listener = new TcpListener(IPAddress.Loopback, port: 0);
        listener.Start();
        var port = ((IPEndPoint)listener.LocalEndpoint).Port;
        listener.Stop();

        File.WriteAllText(file, port.ToString(CultureInfo.InvariantCulture));
        return port;
    }
}
